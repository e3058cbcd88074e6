"""Made-up consoles, each read by a client that knows only its description."""

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from mocks.announcement import Announcement
from mocks.bench import Bench
from mocks.control import obey
from mocks.device import Device
from mocks.generated_description import description_data
from mocks.generated_plan import (
    Chatter,
    Echo,
    Framing,
    Listing,
    Naming,
    Persistence,
    Plan,
    ReadOne,
    Refusal,
    Success,
    Trust,
    Writing,
    draw,
)
from mocks.generated_sheet import full_name
from mocks.options import ConsoleKind, Options, WireKind, parse_options

SEEDS = range(60)
ENDS = {"CR": "\r", "LF": "\n", "CR LF": "\r\n"}
UPTIME = "board.uptime_s"


class Client:
    """Reads a board by its description; every exchange takes 400 ms."""

    def __init__(self, seed: int) -> None:
        self.about: Any = json.loads(json.dumps(description_data(seed)))
        self.device = Device(Options(console=ConsoleKind.GENERATED, seed=seed))
        self.end = ENDS[self.about["line_end_from_board"]]
        self.number = 1
        self.now = self.about["boot"]["deaf_ms"] * 1000
        self.boot = self.device.collect(self.now).decode()
        self.names = {s["meaning"]: s["name"] for s in self.about["settings"]}
        self.cells = {s["name"]: s for s in self.about["settings"]}

    @property
    def prompt(self) -> str:
        return (self.about["prompt"] or "").replace("{n}", str(self.number))

    def ask(self, line: str) -> list[str]:
        """The lines of an answer, without echo, frame and chatter."""
        self.device.collect(self.now)
        end_in = ENDS[self.about["line_end_to_board"]]
        said = self._exchange(f"{line}{end_in}".encode())
        echo = self._echo(line)
        assert said.startswith(echo)
        said = self._turn_pages(said[len(echo) :])
        self.number += 1
        return self._unframed(self._without_chatter(said))

    def read_list(self) -> dict[str, str]:
        """All settings, from the list or one by one."""
        verb = self.about["commands"]["list"]
        if verb is None:
            return {name: self.read(name) for name in self.names.values()}
        lines = self.ask(verb)
        return dict(SHAPES[self.about["listing"]["shape"]](self, lines))

    def read(self, name: str) -> str:
        (line,) = self.ask(self.about["commands"]["read"].replace("{name}", name))
        kind = self.about["read_answer"]["kind"]
        if kind == "bare value":
            return line
        return self.one(name, line, self.about["read_answer"]["line"])

    def one(self, name: str, line: str, form: str) -> str:
        """The value in a line that tells one setting."""
        shape = self.about["listing"]["shape"]
        if form != "one line of the list":
            head = form.removesuffix("{value}").replace("{name}", name)
            assert line.startswith(head)
            return line.removeprefix(head)
        if shape == "fixed columns":
            return columns_row(self, line)[1]
        return dict(SHAPES[shape](self, [line]))[name]

    def write(self, name: str, value: str) -> list[str]:
        form, writing = self.about["commands"]["write"], self.about["writing"]
        if form is not None and not writing["all_fields"]:
            return self.ask(form.replace("{name}", name).replace("{value}", value))
        thing = self.cells[name]["thing"]
        fields = self._fields(thing) if writing["all_fields"] else {}
        fields[self.cells[name]["field"]] = value
        if form is not None:
            cells = " ".join(f"{field}{text}" for field, text in fields.items())
            return self.ask(form.format(thing=thing, fields=cells))
        return self._state(writing, thing, fields)

    def _fields(self, thing: str) -> dict[str, str]:
        """What can be written of a thing, as it stands."""
        live = self.read_list()
        mine = (c for c in self.cells.values() if c["thing"] == thing and c["writable"])
        return {cell["field"]: live[cell["name"]] for cell in mine}

    def _state(
        self, writing: dict[str, str], thing: str, fields: dict[str, str]
    ) -> list[str]:
        """A statement; gives what its last field is answered, or all of them."""
        refused = self.about["refusal"]["lines"][0].partition("{")[0]
        told = self.ask(writing["opening"].format(thing=thing))
        for field, value in fields.items():
            told = self.ask(writing["field"].format(field=field, value=value))
            if told and told[0].startswith(refused):
                self.ask(writing["leaving"])
                return told
        closed = self.ask(writing["closing"])
        return closed if self.about["writing"]["all_fields"] else told

    def act(self, what: str) -> list[str]:
        return self.ask(self.about["commands"][what])

    def restart(self) -> None:
        """Restart and let it boot."""
        verb, end = self.about["commands"]["restart"], self.about["line_end_to_board"]
        self.device.collect(self.now)
        self._exchange(f"{verb}{ENDS[end]}".encode())
        self.now += 2_000_000

    def _exchange(self, data: bytes) -> str:
        self.device.receive(data, self.now)
        self.now += 400_000
        return self.device.collect(self.now).decode()

    def _echo(self, line: str) -> str:
        match self.about["echo"]["kind"]:
            case "none":
                return ""
            case "plain":
                return line + self.end
            case "redrawn with backspaces":
                drawn = ("\b" * at + line[: at + 1] for at in range(len(line)))
                return "".join(drawn) + self.end
            case _:
                wide = self.about["echo"]["fold_columns"]
                first = wide - len(self.prompt)
                rest = line[first:]
                parts = [line[:first]]
                parts += [rest[at : at + wide] for at in range(0, len(rest), wide)]
                folded = self.end.join(parts)
                full = len(parts[-1]) == (first if len(parts) == 1 else wide)
                return folded + (self.end if full else "") + self.end

    def _turn_pages(self, said: str) -> str:
        pager = self.about["pager"]
        whole = ""
        while pager is not None and said.endswith(pager["text"]):
            whole += said.removesuffix(pager["text"])
            wipe = "\r" + " " * len(pager["text"]) + "\r"
            head = self.end if pager["erased_by"] == "a line end" else wipe
            said = self._exchange(pager["next_key"].encode())
            assert said.startswith(head)
            said = said.removeprefix(head)
        return whole + said

    def _without_chatter(self, said: str) -> str:
        line = self.about["chatter"]["line"]
        if line is None:
            return said
        form = re.escape(line).replace(r"\{seconds\}", r"[0-9.]+")
        form = form.replace(r"\{text\}", r"radio waiting") + re.escape(self.end)
        if self.about["prompt"]:
            form = re.escape(self.end) + form + re.escape(self.prompt)
        else:
            form = f"(?:(?<={re.escape(self.end)})|^){form}"
        return re.sub(form, "", said)

    def _unframed(self, said: str) -> list[str]:
        frame = self.about["framing"]
        assert said.endswith(self.prompt)
        said = said.removesuffix(self.prompt)
        lines = said.split(self.end)
        assert lines.pop() == ""
        if frame["closing_line"] is not None:
            assert lines.pop() == frame["closing_line"]
        if frame["count_line"] is not None:
            assert lines.pop(0) == frame["count_line"].replace("{n}", str(len(lines)))
        if frame["status_good"] is not None and lines[-1] == frame["status_good"]:
            lines.pop()
        return lines


def listed(client: Client, lines: list[str]) -> list[str]:
    """The lines of a list between its ends."""
    count = str(len(client.names))
    listing = client.about["listing"]
    first, last = listing["first_line"], listing["last_line"]
    if len(lines) > 1 and first is not None:
        assert lines.pop(0) == first.replace("{n}", count)
    if len(lines) > 1 and last is not None:
        assert lines.pop() == last.replace("{n}", count)
    return lines


def pairs(client: Client, lines: list[str]) -> list[tuple[str, str]]:
    found = []
    listing = client.about["listing"]
    for line, cell in zip(listed(client, lines), client.about["settings"], strict=True):
        mark = "own" if cell["own"] else "ordinary" if cell["writable"] else "fixed"
        head = listing["line"].removesuffix("{value}")
        head = head.replace("{mark}", listing["marks"][mark])
        head = head.replace("{name}", cell["name"])
        assert line.startswith(head)
        found.append((cell["name"], line.removeprefix(head)))
    return found


def columns_row(client: Client, line: str) -> tuple[str, str]:
    at, cells = 0, {}
    for column in client.about["listing"]["columns"]:
        cells[column["name"]] = line[at : at + column["width"]].strip(" ")
        at += column["width"] + 1
    cell = client.cells[cells["name"]]
    assert cells["unit"] == (cell["unit"] or "")
    return cells["name"], cells["value"]


def columns(client: Client, lines: list[str]) -> list[tuple[str, str]]:
    heading, ruler, *rows = listed(client, lines)
    assert heading.split() == [c["name"] for c in client.about["listing"]["columns"]]
    assert set(ruler) == {"-", " "}
    return [columns_row(client, row) for row in rows]


def fields(client: Client, lines: list[str]) -> list[tuple[str, str]]:
    listing = client.about["listing"]
    between = listing["line"].removeprefix("{thing}").removesuffix("{fields}")
    assign = listing["field"].removeprefix("{field}").removesuffix("{value}")
    found = []
    for line in listed(client, lines):
        thing, _, rest = line.partition(between)
        for part in rest.split(listing["between_fields"]):
            field, _, value = part.partition(assign)
            name = listing["full_name"].format(thing=thing, field=field)
            found.append((name, value))
    return found


def letters(client: Client, lines: list[str]) -> list[tuple[str, str]]:
    listing = client.about["listing"]
    between = listing["line"].removeprefix("{thing}").removesuffix("{fields}")
    found = []
    for line in listed(client, lines):
        thing, _, rest = line.partition(between)
        for letter, value in re.findall(r'([A-Z])((?:"[^"]*"|[^ "])+)', rest):
            name = listing["full_name"].format(thing=thing, field=letter)
            found.append((name, value))
    return found


def sentences(client: Client, lines: list[str]) -> list[tuple[str, str]]:
    known = {}
    for cell in client.about["settings"]:
        unit = "line_with_unit" if cell["unit"] else "line_without_unit"
        form = re.escape(client.about["listing"][unit])
        form = form.replace(r"\{name\}", re.escape(cell["name"]))
        form = form.replace(r"\{unit\}", re.escape(cell["unit"] or ""))
        known[re.compile(form.replace(r"\{value\}", "(.*)"))] = cell["name"]
    told = listed(client, lines)
    return [
        (name, found[1])
        for line in told
        for form, name in known.items()
        if (found := form.fullmatch(line)) is not None
    ]


def headings(client: Client, lines: list[str]) -> list[tuple[str, str]]:
    listing = client.about["listing"]
    before, after = listing["heading"].split("{thing}")
    form = listing["line"].removesuffix("{value}")
    indent, separator = form.split("{field}")
    found, thing = [], ""
    for line in listed(client, lines):
        if line.startswith(indent):
            field, _, value = line.removeprefix(indent).partition(separator)
            found.append((listing["full_name"].format(thing=thing, field=field), value))
        else:
            thing = line.removeprefix(before).removesuffix(after)
    return found


SHAPES = {
    "pairs": pairs,
    "fixed columns": columns,
    "fields of one thing a line": fields,
    "sentences": sentences,
    "headings": headings,
    "letters of one thing a line": letters,
}


def a_seed(**wanted: object) -> int:
    """The first seed whose console has these choices."""
    return next(
        seed
        for seed in range(5000)
        if all(getattr(draw(seed), key) == value for key, value in wanted.items())
    )


@pytest.mark.parametrize("seed", SEEDS)
def test_a_client_with_the_description_reads_what_is_shown(seed: int) -> None:
    client = Client(seed)
    uptime = client.names[UPTIME]
    read = client.read_list()
    shown = client.device.shown()
    assert 60 <= len(shown) <= 150
    assert list(read) == list(shown)
    assert read | {uptime: ""} == shown | {uptime: ""}


@pytest.mark.parametrize("seed", SEEDS)
def test_a_value_is_written_kept_as_described_and_read_back(seed: int) -> None:
    client = Client(seed)
    pulse, angle = client.names["tilt.left.centre_us"], client.names["mount.pitch_deg"]
    told = client.write(pulse, "1512")
    client.write(angle, "1.5")
    if client.about["success"]["kind"] == Success.VALUE.value:
        form = client.about["success"]["write_answer"]["line"]
        assert client.one(pulse, told[0], form) == "1512"
    else:
        line = client.about["success"]["line"]
        assert told == ([] if line is None else [line])
    if client.about["commands"]["keep"] is not None:
        client.act("keep")
    client.write(client.names["tilt.left.aft_us"], "100")
    client.restart()
    assert client.device.boots == 2
    live = client.device.aircraft.live
    lost = client.about["persistence"]["never_kept_group"]
    at_once = client.about["persistence"]["kind"] == Persistence.AT_ONCE.value
    assert live["tilt.left.centre_us"] == "1512"
    assert live["mount.pitch_deg"] == ("0.0" if lost == "mount" else "1.5")
    assert live["tilt.left.aft_us"] == ("100" if at_once else "350")
    assert client.device.shown() == client.device.kept_shown()


@pytest.mark.parametrize("seed", SEEDS)
def test_a_refusal_changes_nothing_and_answers_as_described(seed: int) -> None:
    client = Client(seed)
    before = dict(client.device.aircraft.live)
    told = client.write(client.names["tilt.left.centre_us"], "9000")
    assert client.device.aircraft.live == before
    if client.about["trust"] == Trust.SAYS_OK.value:
        line = client.about["success"]["line"]
        assert told == ([] if line is None else [line])
    else:
        forms = client.about["refusal"]["lines"]
        assert told == [f.replace("{reason}", "9000 is above 2500") for f in forms]


@pytest.mark.parametrize("seed", SEEDS)
def test_all_other_verbs_do_what_they_say(seed: int) -> None:
    client = Client(seed)
    number = client.device.aircraft.live["board.number"].strip('"')
    assert client.act("identify") == [f"generated twin-tilt 1.4.2 {number}"]
    assert client.act("ready")[:2] == ["outputs resting", "no radio link"]
    client.device.aircraft.outputs_live = True
    client.act("halt")
    assert not client.device.aircraft.outputs_live
    client.ask(client.about["commands"]["lamp"].replace("{ms}", "1000"))
    assert client.device.aircraft.lamp.blinks(client.now + 2_000_000) == 5


@pytest.mark.parametrize("seed", SEEDS)
def test_the_boot_ends_with_the_prompt(seed: int) -> None:
    client = Client(seed)
    lines = client.about["boot"]["lines"]
    assert client.boot == "".join(line + client.end for line in lines) + client.prompt


def test_every_choice_is_drawn_by_some_seed() -> None:
    plans = [draw(seed) for seed in range(150)]
    kinds = (Framing, Echo, Naming, Listing, ReadOne, Success, Refusal)
    for kind in (*kinds, Persistence, Trust, Chatter, Writing):
        values = {
            value
            for plan in plans
            for key in Plan.__dataclass_fields__
            if isinstance(value := getattr(plan, key), kind)
        }
        assert values == set(kind)


def test_a_seed_is_always_the_same_console() -> None:
    assert description_data(3) == description_data(3)
    assert description_data(3) != description_data(4)


@pytest.mark.parametrize("seed", SEEDS)
def test_names_are_one_to_one(seed: int) -> None:
    plan = draw(seed)
    assert len({full_name(plan, name) for name in plan.names}) == len(plan.names)


def test_an_unknown_name_may_be_dropped_without_a_word() -> None:
    seed = a_seed(
        trust=Trust.DROPS_UNKNOWN, success=Success.WORDS, writing=Writing.ONE_LINE
    )
    client = Client(seed)
    assert client.write("nothing", "1") == []


def test_log_lines_come_between_answers_and_not_inside_a_line() -> None:
    seed = a_seed(chatter=Chatter.DOTS, framing=Framing.QUIET, line_end_out="\n")
    client = Client(seed)
    assert client.device.collect(client.now + 2_000_000) == b".\n.\n"
    client.device.receive(b"x", client.now + 2_000_000)
    assert b"." not in client.device.collect(client.now + 9_000_000)


def test_the_pager_can_be_left_and_turned_off_until_a_restart() -> None:
    seed = a_seed(pager="<more?>", listing=Listing.PAIRS, echo=Echo.NONE)
    client = Client(seed)
    verb, off = client.about["commands"]["list"], client.about["pager"]["off"]
    end = ENDS[client.about["line_end_to_board"]]
    assert client._exchange(f"{verb}{end}".encode()).endswith("<more?>")
    client._exchange(b"q")
    client._exchange(f"{off}{end}".encode())
    assert "<more?>" not in client._exchange(f"{verb}{end}".encode())
    client.device.power_up(client.now)
    client.now += 2_000_000
    assert client._exchange(f"{verb}{end}".encode()).count("<more?>") == 1


def test_an_erased_character_is_taken_back_and_a_line_can_be_abandoned() -> None:
    client = Client(a_seed(echo=Echo.DRAWN, framing=Framing.PROMPT, line_end_in="\r"))
    prompt = client.prompt
    assert client._exchange(b"ab\x7f") == "a\bab\b\ba \b"
    assert client._exchange(b"\x15").startswith(client.end + prompt)


def test_a_line_of_more_than_120_characters_is_refused() -> None:
    client = Client(a_seed(trust=Trust.HONEST, echo=Echo.NONE, framing=Framing.QUIET))
    reason = client.ask("x" * 121)[-1]
    assert reason.endswith("a line has at most 120 characters")


def test_the_about_option_prints_the_description_and_ends() -> None:
    told = subprocess.run(
        [sys.executable, "-m", "mocks", "--console=generated", "--seed=7", "--about"],
        cwd=Path(__file__).parents[2],
        capture_output=True,
        check=True,
        timeout=30,
    )
    assert json.loads(told.stdout) == json.loads(json.dumps(description_data(7)))


def test_orders_tell_what_is_shown_and_how_the_console_was_made() -> None:
    options = Options(console=ConsoleKind.GENERATED, seed=5, wire=WireKind.TCP)
    device = Device(options)
    bench = Bench(options, device, Announcement(None, console="generated", serial="1"))
    assert obey(bench, "shown", 0) == device.shown()
    assert obey(bench, "kept-shown", 0) == device.kept_shown()
    assert obey(bench, "about", 0) == description_data(5)
    bench.close()


def test_only_a_made_up_console_can_be_asked_how_it_was_made() -> None:
    options = Options(wire=WireKind.TCP)
    bench = Bench(
        options, Device(options), Announcement(None, console="wader", serial="1")
    )
    assert "only a made-up console" in str(obey(bench, "about", 0)["error"])
    bench.close()


def test_the_about_option_is_refused_for_other_consoles() -> None:
    with pytest.raises(SystemExit):
        parse_options(["--about"])


@pytest.mark.parametrize("seed", range(20))
def test_each_value_can_be_written_back_as_it_is_listed(seed: int) -> None:
    client = Client(seed)
    shown = client.device.shown()
    first = client.names["tilt.left.direction"]
    good = len(client.write(first, shown[first]))
    for cell in client.about["settings"]:
        # a locked setting is refused, whatever it is given
        if cell["writable"] and cell["meaning"] != "filter.notch.centre_hz":
            assert len(client.write(cell["name"], shown[cell["name"]])) == good
    assert client.device.shown() == shown


@pytest.mark.parametrize(
    ("verb", "wanted"),
    [
        ("list", {"listing": Listing.NONE}),
        ("keep", {"persistence": Persistence.AT_ONCE}),
        ("pager_off", {"pager": None}),
    ],
)
def test_a_verb_that_the_console_has_not_is_unknown(
    verb: str, wanted: dict[str, object]
) -> None:
    seed = a_seed(trust=Trust.HONEST, refusal=Refusal.SAME_LINE, **wanted)
    (line,) = Client(seed).ask(draw(seed).verbs[verb])
    assert line.endswith(": no such words here")


def test_the_lamp_refuses_a_span_out_of_range() -> None:
    client = Client(a_seed(trust=Trust.HONEST, refusal=Refusal.SAME_LINE))
    (line,) = client.ask(client.about["commands"]["lamp"].replace("{ms}", "5001"))
    assert line.endswith(": 1 to 5000 ms")


def test_a_number_in_another_form_than_listed_is_refused() -> None:
    wanted = {"trust": Trust.HONEST, "refusal": Refusal.SAME_LINE, "milli_volts": True}
    client = Client(a_seed(**wanted))
    (line,) = client.write(client.names["pack.warn_v"], "14.0")
    assert line.endswith(": '14.0' is not a number of the listed form")


def test_a_plain_echo_rubs_out_what_is_erased() -> None:
    client = Client(a_seed(echo=Echo.PLAIN, chatter=Chatter.NONE))
    assert client._exchange(b"\x08ab\x08\x00") == "ab\b \b"

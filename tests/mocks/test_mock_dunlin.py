"""The dunlin console, typed to in virtual time."""

import re

import pytest

from mocks.device import Device
from mocks.dunlin import PAUSE_US, REPAINT_US
from mocks.dunlin_sheet import names
from mocks.options import ConsoleKind, Options
from mocks.quantities import RefusalError

STEP = 400_000
UPTIME = "board/uptime"
GREEN, PLAIN, REDRAW = "\x1b[32m", "\x1b[0m", "\r\x1b[K"
VIEW = f"{REDRAW}{GREEN}dunlin view$ {PLAIN}"
EDIT = f"{REDRAW}{GREEN}dunlin edit$ {PLAIN}"
NOTE = f"{REDRAW}{GREEN}dunlin note> {PLAIN}"


class Talk:
    """Types a line at a time, soon enough after the last that nothing is repainted."""

    def __init__(self, settings: int = 60, *, logged_in: bool = True) -> None:
        options = Options(
            console=ConsoleKind.DUNLIN, settings=settings, rx_buffer=0, handling_us=0
        )
        self.device = Device(options)
        self.now = STEP
        self.boot = self.device.collect(self.now).decode()
        self.prompt = VIEW
        if logged_in:
            self.raw(b"bench\rreed\r")

    def raw(self, data: bytes) -> str:
        self.device.receive(data, self.now)
        self.now += STEP
        return self.device.collect(self.now).decode()

    def lines(self, line: str, prompt: str | None = None) -> list[str]:
        """The answer's lines, without the redrawn line and the next prompt."""
        self.prompt, before = prompt or self.prompt, self.prompt
        drawn = "".join(before + line[: n + 1] for n in range(len(line)))
        said = self.raw(line.encode() + b"\r")
        assert said.startswith(drawn + "\r\n")
        assert said.endswith(self.prompt)
        return said[len(drawn) + 2 : -len(self.prompt)].split("\r\n")[:-1]

    def edit(self) -> None:
        assert self.lines("edit", EDIT) == []

    def restart(self) -> str:
        said = self.raw(b"reboot\r") + self.raw(b"")
        self.prompt = VIEW
        self.raw(b"bench\rreed\r")
        return said

    def read(self) -> dict[str, str]:
        """All that a client can read, bank by bank."""
        known: dict[str, str] = {}
        for bank in (1, 2, 3):
            self.lines(f"bank {bank}")
            known |= parsed(self.lines("list"))
        self.lines("bank 1")
        return known


def parsed(lines: list[str]) -> dict[str, str]:
    """The settings of one listing."""
    known: dict[str, str] = {}
    heads: list[str] = []
    root = ""
    rest = iter(lines)
    for line in rest:
        depth = (len(line) - len(line.lstrip())) // 2
        name, _, value = line.strip().partition(" ")
        if line == "note <<":
            known["note"] = "\n".join(iter(lambda: next(rest), ">>"))
        elif name == "options:":
            flags = value.split()
            known |= {f"options/{flag[1:]}": flag[0] for flag in flags}
        elif banner := re.fullmatch("bank ([0-9]) of 3", line):
            root = f"bank {banner[1]}/"
        elif name.endswith(":"):
            heads = [*heads[:depth], name[:-1]]
        else:
            known[root + "/".join((*heads[:depth], name))] = value
    return known


@pytest.fixture
def talk() -> Talk:
    return Talk()


@pytest.fixture
def editing() -> Talk:
    talk = Talk()
    talk.edit()
    return talk


def test_a_login_stands_before_the_first_prompt_and_the_word_is_not_echoed() -> None:
    talk = Talk(logged_in=False)
    assert talk.boot == "\r\ndunlin 3 up\r\nuser: "
    assert talk.raw(b"bench\r") == "bench\r\nword: "
    assert talk.raw(b"reed\r") == f"\r\nhello bench\r\n{VIEW}"
    assert list(talk.device.console.received) == []


def test_three_failures_make_a_pause_in_which_keys_are_lost() -> None:
    talk = Talk(logged_in=False)
    wrong = "x\r\nword: \r\n? not let in\r\n"
    assert talk.raw(b"x\ry\r") == wrong + "user: "
    assert talk.raw(b"x\ry\r") == wrong + "user: "
    began = talk.now
    assert talk.raw(b"x\ry\r") == wrong
    assert talk.raw(b"bench\r") == ""
    assert talk.device.collect(began + PAUSE_US - 1) == b""
    assert talk.device.collect(began + PAUSE_US) == b"user: "


def test_every_key_redraws_the_whole_line(talk: Talk) -> None:
    assert talk.raw(b"ab") == f"{VIEW}a{VIEW}ab"
    assert talk.raw(b"\x7f") == f"{VIEW}a"
    assert talk.raw(b"\x15") == VIEW
    assert talk.raw(b"\x01\n") == ""


def test_an_idle_line_is_painted_anew_every_800_ms(talk: Talk) -> None:
    pressed = talk.now
    talk.raw(b"ab")
    assert talk.device.collect(pressed + REPAINT_US - 1) == b""
    assert talk.device.collect(pressed + REPAINT_US).decode() == f"{VIEW}ab"
    assert talk.device.collect(pressed + 3 * REPAINT_US).decode() == f"{VIEW}ab" * 2


def test_a_key_puts_the_painting_off(talk: Talk) -> None:
    talk.raw(b"a")
    pressed = talk.now
    talk.raw(b"b")
    assert talk.device.collect(pressed + REPAINT_US - 1) == b""


def test_nothing_is_painted_before_the_login() -> None:
    talk = Talk(logged_in=False)
    assert talk.device.next_us(talk.now) is None


@pytest.mark.parametrize("settings", [60, 612, 700])
def test_a_client_reads_what_the_board_says_it_shows(settings: int) -> None:
    talk = Talk(settings)
    talk.edit()
    talk.lines("bank 3")
    talk.lines("lay steady/roll/gain 2.5")
    talk.lines("lay note <<", NOTE)
    talk.lines("bank 2 of 3")
    talk.lines("")
    talk.lines(">>", EDIT)
    known = talk.read()
    shown = talk.device.shown()
    del shown[UPTIME], known[UPTIME]
    assert known == shown
    assert known["bank 3/steady/roll/gain"] == "2.50"
    assert known["note"] == "bank 2 of 3\n"


def test_names_are_one_to_one_on_the_largest_board() -> None:
    aircraft = Talk(5000).device.aircraft
    assert len(names(aircraft).canonical) == len(aircraft.settings) > 5000


def test_success_is_silent(editing: Talk) -> None:
    assert editing.lines("lay tilt/left/centre 1512") == []
    assert editing.lines("peek tilt/left/centre") == ["1512"]


@pytest.mark.parametrize(
    ("path", "given", "printed"),
    [
        ("tilt/left/centre", "+01510", "1510"),
        ("mount/yaw", "7.3", "7.5"),
        ("level/set", "true", "true"),
        ("motor/left/output", "half_range", "half_range"),
        ("tilt/bend", "-90 -40 0 40 90", "-90 -40 0 40 90"),
        ("craft/call", '|the "old" \\ one|', '|the "old" \\ one|'),
        ("steady/roll/gain", "2.01", "2.00"),
    ],
)
def test_a_value_is_taken_and_printed(
    editing: Talk, path: str, given: str, printed: str
) -> None:
    assert editing.lines(f"lay {path} {given}") == []
    assert editing.lines(f"peek {path}") == [printed]


@pytest.mark.parametrize(
    ("command", "reason"),
    [
        ("foo", "unknown word"),
        ("peek x/y", "nothing at x/y"),
        ("peek options/steady-on", "nothing at options/steady-on"),
        ("peek bank 2/steady/roll/gain", "use: peek PATH"),
        ("lay tilt/left/centre 9000", "9000 is above 2500"),
        ("lay level/set yes", "'yes' is not true or false"),
        ("lay motor/left/output half-range", "'half-range' is not one of plain_pulse"),
        ("lay board/number |x|", "board/number is fixed by the maker"),
        ("lay filter/notch/centre 99", "options/filter-notch-on must be worn first"),
        ("lay craft/call LW", "a text stands between | and |"),
        ("lay craft/call |a|b|", "a text stands between | and |"),
        ("lay note hello", "use: lay note <<"),
        ("wear wings", "no option wings"),
        ("bank 4", "no bank 4"),
        ("lamp 5001", "lamp: 1 to 5000 ms"),
        ("halt " + "x" * 96, "over 100 characters"),
    ],
)
def test_a_refusal_tells_why_and_changes_nothing(
    editing: Talk, command: str, reason: str
) -> None:
    before = dict(editing.device.aircraft.live)
    (said,) = editing.lines(command)
    assert said.startswith(f"? {reason}")
    assert editing.device.aircraft.live == before


@pytest.mark.parametrize(
    "command", ["lay tilt/left/centre 1512", "wear steady-on", "seal", "lay note <<"]
)
def test_writes_are_refused_in_view_mode(talk: Talk, command: str) -> None:
    assert talk.lines(command) == ["? only in edit"]
    talk.edit()
    assert talk.lines("done", VIEW) == []
    assert talk.lines(command) == ["? only in edit"]


def test_a_limited_value_gives_a_warning(editing: Talk) -> None:
    assert editing.lines("lay radio/failsafe/throttle 9000") == ["~ limited to 2200"]


def test_flags_are_worn_and_shed(editing: Talk) -> None:
    assert editing.lines("shed steady-on") == []
    assert "-steady-on" in " ".join(editing.lines("list"))
    assert editing.lines("wear steady-on") == []
    assert "+steady-on" in " ".join(editing.lines("list"))


def test_only_the_selected_bank_is_listed(editing: Talk) -> None:
    editing.lines("bank 2")
    editing.lines("lay steady/roll/gain 2.5")
    assert editing.lines("list")[-8:-4] == [
        "bank 2 of 3",
        "steady:",
        "  roll:",
        "    gain 2.50",
    ]
    assert "bank 1 of 3" not in editing.lines("list")
    assert editing.lines("peek steady/roll/gain") == ["2.50"]
    editing.lines("bank 1")
    assert editing.lines("peek steady/roll/gain") == ["1.20"]


def test_the_full_list_tells_the_defaults(editing: Talk) -> None:
    editing.lines("lay tilt/left/centre 1512")
    assert "    centre 1512 (made 1500)" in editing.lines("list all")
    assert "  call || (made ||)" in editing.lines("list all")


def test_common_settings_are_kept_at_once(editing: Talk) -> None:
    editing.lines("lay pack/cells 6")
    editing.lines("shed steady-on")
    editing.restart()
    assert editing.lines("peek pack/warn") == ["21.0"]
    assert editing.device.aircraft.live["steady.on"] == "no"


def test_a_bank_is_kept_only_when_sealed(editing: Talk) -> None:
    editing.lines("bank 2")
    editing.lines("lay steady/roll/gain 2.5")
    editing.lines("seal")
    editing.lines("lay steady/roll/gain 3.5")
    editing.lines("lay pack/cells 6")
    assert editing.device.kept_shown()["bank 2/steady/roll/gain"] == "2.50"
    editing.restart()
    assert editing.lines("peek steady/roll/gain") == ["1.20"]
    editing.lines("bank 2")
    assert editing.lines("peek steady/roll/gain") == ["2.50"]


def test_the_note_is_shown_in_lines_and_never_kept(editing: Talk) -> None:
    editing.lines("lay note <<", NOTE)
    for line in ("first", '  "second" \\', ""):
        assert editing.lines(line) == []
    assert editing.lines(">>", EDIT) == []
    block = ["note <<", "first", '  "second" \\', "", ">>"]
    assert editing.lines("peek note") == block
    editing.lines("seal")
    editing.restart()
    assert editing.lines("peek note") == ["note <<", ">>"]


def test_a_note_that_is_too_long_is_refused_at_its_end(editing: Talk) -> None:
    for lines, reason in ((["x"] * 7, "7 lines"), (["x" * 61], "longer than 60")):
        editing.lines("lay note <<", NOTE)
        for line in lines:
            editing.lines(line)
        (said,) = editing.lines(">>", EDIT)
        assert reason in said
    assert editing.lines("peek note") == ["note <<", ">>"]


def test_a_restart_drops_to_the_login(editing: Talk) -> None:
    said = editing.restart()
    assert said.endswith("reboot\r\n\r\ndunlin 3 up\r\nuser: ")
    assert editing.lines("lay pack/cells 6") == ["? only in edit"]


def test_the_board_tells_who_it_is_and_what_holds_back(talk: Talk) -> None:
    assert talk.lines("about") == [
        "type=dunlin",
        "layout=twin-tilt",
        "firmware=1.4.2",
        "number=44CB-9325",
    ]
    assert [line.partition("=")[0] for line in talk.lines("ready")] == [
        "outputs",
        "uptime",
        "waits: no radio link",
        "waits: level not set",
        "waits: no pack",
    ]


def test_live_outputs_are_told_and_halt_rests_them(talk: Talk) -> None:
    talk.device.aircraft.outputs_live = True
    assert talk.lines("ready")[0] == "outputs=live"
    assert talk.lines("halt") == []
    assert talk.lines("ready")[0] == "outputs=resting"


def test_the_lamp_blinks(talk: Talk) -> None:
    assert talk.lines("lamp 1000") == []
    assert talk.device.aircraft.lamp.blinks(talk.now + 9 * STEP) == 5


def test_the_words_are_all_listed(talk: Talk) -> None:
    heads = [line.split()[0] for line in talk.lines("words")]
    assert " ".join(heads) == (
        "list peek lay wear shed bank seal edit done about ready senses lamp halt reboot words"
    )


@pytest.mark.parametrize("size", [1, 3, 1000])
def test_it_does_not_matter_how_the_bytes_are_cut(size: int) -> None:
    typed = b"edit\rlay tilt/left/aft 3\x7f120\rlay note <<\rx\r>>\rpeek note\rfoo\r"
    whole = Talk().raw(typed)
    talk = Talk()
    for at in range(0, len(typed), size):
        talk.device.receive(typed[at : at + size], talk.now)
    assert talk.device.collect(talk.now + STEP).decode() == whole


def test_another_hand_may_write_the_note_as_a_json_string(talk: Talk) -> None:
    talk.device.aircraft.put("craft.note", r'"one\ntwo"')
    assert talk.lines("peek note") == ["note <<", "one", "two", ">>"]
    for wrong in ("one", "1"):
        with pytest.raises(RefusalError, match="double quotes"):
            talk.device.aircraft.put("craft.note", wrong)

"""The turnstone console, typed to in virtual time."""

import re
from pathlib import Path

import pytest

from mocks.device import Device
from mocks.options import ConsoleKind, Options
from mocks.store import FileStore
from mocks.turnstone_table import names

SECOND = 1_000_000
HEARS = 200_000
TICK = 300_000
PAGER = "-- more: blank line, q --"
WIPED = "\r" + " " * len(PAGER) + "\r"
UPTIME = "board uptime"


class Talk:
    """Types a line a second and reads all that the board says to it."""

    def __init__(self, settings: int = 60, store: FileStore | None = None) -> None:
        options = Options(console=ConsoleKind.TURNSTONE, settings=settings)
        self.device = Device(options, store)
        self.now = 3 * SECOND
        self.boot = self.device.collect(self.now).decode()

    def raw(self, data: bytes) -> str:
        self.device.receive(data, self.now)
        self.now += 3 * SECOND
        return self.device.collect(self.now).decode()

    def lines(self, line: str) -> list[str]:
        """The answer's lines, without echo and prompt."""
        said = self.raw(line.encode() + b"\n")
        assert said.startswith(line + "\r\n")
        body, prompt = said[len(line) + 2 :].rsplit("\r\n", 1)
        assert re.fullmatch(r"\[[0-9]+\]> ", prompt)
        return body.split("\r\n")

    def ask(self, line: str, key: str) -> str:
        """Answer the question that `line` asks."""
        assert self.raw(line.encode() + b"\n").endswith("? (y/n) ")
        return self.raw(key.encode())

    def table(self) -> list[list[str]]:
        """The rows of the table, cut at the ruler's columns."""
        self.lines("pager off")
        heads, ruler, *rest = self.lines("show")
        spans = [found.span() for found in re.finditer("-+", ruler)]
        assert next(heads[a:b].strip() for a, b in spans) == "name"
        assert rest.pop() == f"{sum(not r.startswith('==') for r in rest)} rows"
        rows = [row for row in rest if not row.startswith("==")]
        return [[row[a:b].strip() for a, b in spans] for row in rows]

    def read(self) -> dict[str, str]:
        """All that a client can read, in the board's spelling."""
        known = {row[0]: row[1] for row in self.table()}
        assert known.pop("tilt left mid") == known["tilt left centre"]
        for line in self.lines("pads"):
            pad, word, *job = line.split(" ")
            known[pad] = job[0] if word == "carries" else "free"
        return known


@pytest.fixture
def talk() -> Talk:
    return Talk()


def test_the_countdown_comes_to_the_prompt_by_itself(talk: Talk) -> None:
    assert talk.boot == (
        "\r\nturnstone board, loader 2\r\nnothing stored, rows as made\r\n"
        "autostart in 3 2 1\r\nstarted\r\n[1]> "
    )


def test_the_countdown_ticks_300_ms_apart() -> None:
    device = Device(Options(console=ConsoleKind.TURNSTONE))
    assert device.collect(HEARS).endswith(b"autostart in 3")
    assert device.collect(HEARS + TICK - 1) == b""
    assert device.collect(HEARS + TICK) == b" 2"
    assert device.collect(HEARS + 3 * TICK).endswith(b"started\r\n[1]> ")


def test_the_key_k_stops_the_countdown_at_the_next_tick() -> None:
    device = Device(Options(console=ConsoleKind.TURNSTONE))
    device.receive(b"xk\n", HEARS + 1000)
    device.collect(HEARS + 1000)
    assert device.collect(HEARS + TICK - 1) == b""
    assert device.collect(HEARS + TICK) == b"\r\nstopped here\r\n[1]> "


@pytest.mark.parametrize("settings", [60, 612, 700])
def test_a_client_reads_what_the_board_says_it_shows(settings: int) -> None:
    talk = Talk(settings)
    talk.lines("put craft call the  old one")
    talk.lines("carry rudder p1")
    known = talk.read()
    shown = talk.device.shown()
    del shown[UPTIME], known[UPTIME]
    assert known == shown
    assert len(known) == settings - 1


def test_names_are_one_to_one_on_the_largest_board() -> None:
    talk = Talk(5000)
    assert len(names(talk.device.aircraft).canonical) == 5000


def test_the_pager_stops_after_24_lines_and_a_blank_turns_the_page(talk: Talk) -> None:
    first = talk.raw(b"show\n")
    assert first.endswith("\r\n" + PAGER)
    assert first.count("\r\n") == 1 + 24
    second = talk.raw(b" ")
    assert second.startswith(WIPED)
    assert second.count("\r\n") == 24


def test_a_line_end_at_the_pager_gives_one_more_line(talk: Talk) -> None:
    talk.raw(b"show\n")
    more = talk.raw(b"\n")
    assert more.count("\r\n") == 1
    assert more.endswith(PAGER)


def test_q_leaves_the_pager_and_other_keys_do_nothing(talk: Talk) -> None:
    talk.raw(b"show\n")
    assert talk.raw(b"zY\r") == ""
    assert talk.raw(b"q") == f"{WIPED}[2]> "
    assert talk.lines("halt") == ["ok"]


def test_typed_ahead_lines_are_eaten_by_the_pager(talk: Talk) -> None:
    said = talk.raw(b"show\nput tilt left centre 1600\n")
    assert said.count(PAGER) > 2
    assert talk.device.aircraft.live["tilt.left.centre_us"] == "1500"


def test_the_pager_is_back_after_a_restart(talk: Talk) -> None:
    talk.lines("pager off")
    assert PAGER not in talk.raw(b"show\n")
    talk.ask("restart", "y")
    assert talk.raw(b"show\n").endswith(PAGER)


def test_one_setting_is_told_in_a_sentence_without_padding(talk: Talk) -> None:
    assert talk.lines("what is tilt left aft") == ["tilt left aft is 350 us"]
    assert talk.lines("what is craft call") == ["craft call is -"]
    assert talk.lines("what is steady on") == ["steady on is on"]
    assert {r[0]: r[1] for r in talk.table()}["tilt left aft"] == "0350"


def test_ranges_units_and_marks_have_their_columns_and_may_be_empty(talk: Talk) -> None:
    rows = {row[0]: row[2:] for row in talk.table()}
    assert rows["tilt left centre"] == ["us", "0500", "2500", "w"]
    assert rows["accel offset x"] == ["mg", "-200", "200", "wc"]
    assert rows["board number"] == ["", "", "", ""]
    assert rows["steady roll gain"] == ["", "0", "10", "w"]


def test_two_names_are_one_cell(talk: Talk) -> None:
    assert talk.lines("put tilt left mid 1512") == ["ok"]
    assert talk.lines("what is tilt left centre") == ["tilt left centre is 1512 us"]


@pytest.mark.parametrize(
    ("given", "name", "printed"),
    [
        ("tilt left centre 01510", "tilt left centre", "1510 us"),
        ("mount yaw 7.3", "mount yaw", "7.5 deg"),
        ("mount upside down on", "mount upside down", "on"),
        ("motor left output half-range", "motor left output", "half-range"),
        ("tilt bend -90:-40:0:40:90", "tilt bend", "-90:-40:0:40:90 %"),
        ("craft call a b", "craft call", "a b"),
        ('craft call "', "craft call", '"'),
    ],
)
def test_a_value_is_taken_and_told(
    talk: Talk, given: str, name: str, printed: str
) -> None:
    assert talk.lines(f"put {given}") == ["ok"]
    assert talk.lines(f"what is {name}") == [f"{name} is {printed}"]


@pytest.mark.parametrize(
    ("command", "reason"),
    [
        ("foo", "foo is no word of mine, see words"),
        ("what is x", "no row is called x"),
        ("what is p1", "no row is called p1"),
        ("what tilt", "say what is NAME"),
        ("put x 1", "no row is called x 1"),
        ("put tilt left centre", "'' is not a whole number"),
        ("put tilt left centre 9000", "9000 is above 2500"),
        ("put steady on yes", "'yes' is not on or off"),
        ("put tilt left direction up", "'up' is not one of normal, reversed"),
        ("put board number 7", "board number is fixed by the maker"),
        ("put filter notch centre 99", "filter notch on must be on first"),
        ("put craft call", "a text is needed, - for none"),
        ("carry rudder p13", "no pad is called p13"),
        ("carry wings p1", "'wings' is not one of"),
        ("carry nothing p1", "to carry nothing, say free PAD"),
        ("free p0", "no pad is called p0"),
        ("lamp 0", "the lamp takes 1 to 5000 ms"),
        ("halt " + "x" * 116, "a line has at most 120 characters"),
    ],
)
def test_a_refusal_tells_why_and_changes_nothing(
    talk: Talk, command: str, reason: str
) -> None:
    before = dict(talk.device.aircraft.live)
    (said,) = talk.lines(command)
    assert said.startswith(f"no: {reason}")
    assert talk.device.aircraft.live == before


def test_a_limited_value_is_told_behind_the_ok(talk: Talk) -> None:
    assert talk.lines("put radio failsafe throttle 9000") == ["ok, but limited to 2200"]


def test_a_moved_job_leaves_its_old_pad_free(talk: Talk) -> None:
    assert talk.lines("carry tilt-left p1") == ["ok"]
    assert talk.lines("pads") == [
        "p1 carries tilt-left",
        "p2 carries motor-right",
        "p3 is free",
        "p4 carries tilt-right",
    ]
    assert talk.lines("free p1") == ["ok"]
    assert talk.lines("pads")[0] == "p1 is free"


def test_the_prompt_counts_commands_but_not_empty_lines(talk: Talk) -> None:
    assert talk.raw(b"\n") == "\r\n[1]> "
    assert talk.raw(b"halt\n").endswith("[2]> ")
    assert talk.raw(b"foo\n").endswith("[3]> ")


def test_only_lf_ends_a_line_and_keys_edit_it(talk: Talk) -> None:
    assert talk.raw(b"hx\x7falt\r") == "hx\b \balt"
    assert talk.raw(b"\n") == "\r\nok\r\n[2]> "
    assert talk.raw(b"put tilt\x15") == "put tilt\r\n[2]> "


def test_storing_asks_and_acts_on_a_bare_key(talk: Talk) -> None:
    assert talk.ask("store", "n") == "n\r\nleft as it is\r\n[2]> "
    assert talk.device.aircraft.kept() == {}
    assert talk.ask("store", "\n") == ""
    assert talk.raw(b"y") == "y\r\n57 rows stored\r\n[3]> "


def test_a_restart_reverts_what_was_not_stored(talk: Talk) -> None:
    talk.lines("put tilt left centre 1600")
    talk.ask("store", "y")
    talk.lines("put tilt left centre 1700")
    assert talk.device.kept_shown()["tilt left centre"] == "1600"
    said = talk.ask("restart", "y")
    assert said.startswith(
        "y\r\ngoing down\r\n\r\nturnstone board, loader 2\r\n57 rows"
    )
    assert talk.lines("what is tilt left centre") == ["tilt left centre is 1600 us"]


def test_the_order_of_the_table_changes_at_a_restart(talk: Talk) -> None:
    before = [row[0] for row in talk.table()]
    assert [row[0] for row in talk.table()] == before
    talk.ask("restart", "y")
    after = [row[0] for row in talk.table()]
    assert after != before
    assert sorted(after) == sorted(before)


def test_a_store_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    talk = Talk(store=FileStore(tmp_path / "no folder" / "kept.json"))
    assert "no: the store cannot be written" in talk.ask("store", "y")


def test_the_board_tells_who_it_is_and_what_holds_back(talk: Talk) -> None:
    assert talk.lines("who") == [
        "I am turnstone 44CB-9325, a twin-tilt board with firmware 1.4.2"
    ]
    outputs, uptime, *reasons = talk.lines("ready")
    assert (outputs, uptime) == ("outputs are resting", "up for 6.000 s")
    assert reasons == [
        "not ready: no radio link",
        "not ready: level not set",
        "not ready: no pack",
    ]


def test_live_outputs_are_told_and_halt_rests_them(talk: Talk) -> None:
    talk.device.aircraft.outputs_live = True
    assert talk.lines("ready")[0] == "outputs are live"
    assert talk.lines("halt") == ["ok"]
    assert talk.lines("ready")[0] == "outputs are resting"


def test_the_lamp_blinks(talk: Talk) -> None:
    assert talk.lines("lamp 1000") == ["ok"]
    assert talk.device.aircraft.lamp.blinks(talk.now) == 5


def test_the_words_are_all_listed(talk: Talk) -> None:
    heads = [line.split()[0] for line in talk.lines("words")]
    assert " ".join(heads) == (
        "show what put pads carry free store restart who ready lamp halt sense send turn pager words"
    )


@pytest.mark.parametrize("size", [1, 3, 1000])
def test_it_does_not_matter_how_the_bytes_are_cut(size: int) -> None:
    typed = b"who\nshow\n q\nstore\nyput tilt left aft 1\x7f20\npads\n"
    whole = Talk().raw(typed)
    device = Talk().device
    for at in range(0, len(typed), size):
        device.receive(typed[at : at + size], 3 * SECOND)
    assert device.collect(6 * SECOND).decode() == whole

"""The knot console, typed to in virtual time."""

import re
from pathlib import Path

import pytest

from mocks.device import Device
from mocks.knot import APART_US
from mocks.knot_rows import names
from mocks.options import ConsoleKind, Options
from mocks.store import FileStore
from mocks.uart import Line

SECOND = 1_000_000
UPTIME = "board uptime"
CELL = re.compile(r" (\S+) (<[^>]*>|\S+)")


class Talk:
    """Types a line a second and reads all that the board says to it."""

    def __init__(
        self,
        settings: int = 60,
        store: FileStore | None = None,
        *,
        weak_store: bool = False,
    ) -> None:
        options = Options(
            console=ConsoleKind.KNOT, settings=settings, weak_store=weak_store
        )
        self.device = Device(options, store)
        self.now = SECOND
        self.boot = self.device.collect(self.now).decode()

    def raw(self, data: bytes) -> str:
        self.device.receive(data, self.now)
        self.now += SECOND
        return self.device.collect(self.now).decode()

    def lines(self, line: str) -> list[str]:
        """The answer's lines, without chatter and the final `ok`."""
        said = self.raw(line.encode() + b"\r\n").split("\r\n")
        *answer, end = said[: said.index("ok") + 1]
        assert end == "ok"
        return [line for line in answer if line != "." and not line.startswith(": ")]

    def read(self) -> dict[str, str]:
        """All that a client can read."""
        head, *rest = self.lines("tell everything")
        rows = [row.partition(" ") for row in rest if not row.startswith("(")]
        known = {
            f"{thing} {field}": value
            for thing, _, cells in rows
            for field, value in CELL.findall(" " + cells)
        }
        assert head == f"knot {len(known)} cells in {len(rows)} rows"
        return known


@pytest.fixture
def talk() -> Talk:
    return Talk()


def test_the_boot_line_is_the_only_greeting(talk: Talk) -> None:
    assert talk.boot == "knot up\r\n"


def test_nothing_is_echoed_and_nothing_prompts(talk: Talk) -> None:
    device = talk.device
    device.receive(b"halt", talk.now)
    assert device.collect(talk.now + 1000) == b""
    device.receive(b"\r\n", talk.now + 1000)
    assert device.collect(talk.now + 2000) == b"ok\r\n"


@pytest.mark.parametrize("settings", [60, 612, 700])
def test_a_client_reads_what_the_board_says_it_shows(settings: int) -> None:
    talk = Talk(settings)
    talk.lines("craft call <the  old one>")
    known = talk.read()
    shown = talk.device.shown()
    del shown[UPTIME], known[UPTIME]
    assert known == shown
    assert len(known) == settings - 1


def test_names_are_one_to_one_on_the_largest_board() -> None:
    assert len(names(Talk(5000).device.aircraft).canonical) == 5000


def test_a_row_holds_the_fields_of_one_thing(talk: Talk) -> None:
    assert talk.lines("tell tilt-L") == [
        "tilt-L mid 1500 aft 350 fore 350 dir normal hz 50"
    ]


def test_a_row_is_written_whole_or_in_part(talk: Talk) -> None:
    assert talk.lines("tilt-L mid 1512 aft 340") == []
    assert talk.lines("tilt-L  dir reversed") == []
    row = "tilt-L mid 1512 aft 340 fore 350 dir reversed hz 50"
    assert talk.lines("tell tilt-L") == [row]
    assert talk.lines(row.replace("1512", "1490")) == []
    assert talk.lines("tell tilt-L") == [row.replace("1512", "1490")]


@pytest.mark.parametrize(
    ("given", "cell", "printed"),
    [
        ("mount upside-down Y", "mount upside-down", "Y"),
        ("tilt bend -90/-40/0/40/90", "tilt bend", "-90/-40/0/40/90"),
        ("mount yaw 7.3", "mount yaw", "7.5"),
        ("tilt-L mid 9000", "tilt-L mid", "2500"),
        ("mount pitch -999", "mount pitch", "-180.0"),
        ("craft call <mid 5>", "craft call", "<mid 5>"),
    ],
)
def test_a_value_is_taken_or_limited_without_a_word(
    talk: Talk, given: str, cell: str, printed: str
) -> None:
    assert talk.lines(given) == []
    assert talk.read()[cell] == printed


@pytest.mark.parametrize(
    "line",
    [
        "nonsense",
        "?!",
        "tell nothing",
        "tilt-L mid",
        "tilt-L wings 5",
        "tilt-L mid x",
        "tilt-L dir up",
        "mount pitch 0.01",
        "mount upside-down yes",
        "craft call LW-01",
        "board number <1>",
        "filter-notch mid 99",
        "lamp long",
        "5 6 7",
    ],
)
def test_nonsense_is_answered_with_ok_and_changes_nothing(
    talk: Talk, line: str
) -> None:
    before = talk.read()
    assert talk.lines(line) == []
    after = talk.read()
    del before[UPTIME], after[UPTIME]
    assert after == before


def test_an_unknown_thing_is_made_and_gone_after_a_restart(talk: Talk) -> None:
    before = len(talk.read())
    talk.lines("tilt-X mid 1512")
    assert talk.lines("tell tilt-X") == ["tilt-X mid 1512"]
    assert len(talk.read()) == before + 1
    talk.lines("hold")
    talk.raw(b"turn-off-on\r\n")
    assert talk.lines("tell tilt-X") == []


def test_a_dot_comes_every_second_and_log_lines_in_between() -> None:
    device = Device(Options(console=ConsoleKind.KNOT))
    assert device.collect(5 * SECOND) == (
        b"knot up\r\n.\r\n: 2.000 imu 41 C\r\n.\r\n.\r\n: 3.700 radio idle\r\n.\r\n"
    )


def test_chatter_stands_in_mid_answer_between_lines(talk: Talk) -> None:
    said = talk.raw(b"tell everything\r\n").split("\r\n")
    answer = said[: said.index("ok")]
    assert "." in answer
    assert any(line.startswith(": ") for line in answer)
    assert any(line.startswith("( ") for line in answer)


@pytest.mark.parametrize("apart", [APART_US - 1, APART_US])
def test_the_second_of_two_commands_close_together_is_lost(
    talk: Talk, apart: int
) -> None:
    talk.device.receive(b"tilt-L mid 1512\r\n", talk.now)
    talk.device.receive(b"tilt-R mid 1512\r\n", talk.now + apart)
    said = talk.device.collect(talk.now + SECOND // 2).decode()
    assert said.count("ok") == (2 if apart == APART_US else 1)
    assert talk.device.aircraft.live["tilt.left.centre_us"] == "1512"


def test_commands_sent_in_one_write_leave_only_the_first(talk: Talk) -> None:
    assert talk.raw(b"halt\r\n\r\nname?\r\nname?\r\n").count("ok") == 1
    assert list(talk.device.console.received) == ["halt"]


def test_holding_keeps_over_a_restart(talk: Talk) -> None:
    talk.lines("tilt-L mid 1512")
    assert talk.lines("hold") == []
    talk.lines("tilt-L mid 1600")
    assert talk.device.kept_shown()["tilt-L mid"] == "1512"
    assert talk.raw(b"turn-off-on\r\n").startswith("ok\r\nknot up\r\n")
    assert talk.read()["tilt-L mid"] == "1512"


def test_a_weak_store_keeps_nothing_and_says_ok() -> None:
    talk = Talk(weak_store=True)
    talk.lines("tilt-L mid 1512")
    assert ": store weak\r\nok\r\n" in talk.raw(b"hold\r\n")
    assert talk.device.aircraft.kept() == {}


def test_a_store_that_cannot_be_written_says_ok(tmp_path: Path) -> None:
    talk = Talk(store=FileStore(tmp_path / "no folder" / "kept.json"))
    assert ": store weak\r\nok\r\n" in talk.raw(b"hold\r\n")


def test_one_write_hangs_the_board_until_the_power_goes(talk: Talk) -> None:
    assert talk.raw(b"log-rate hz 0\r\n") == ""
    assert talk.raw(b"halt\r\n") == ""
    assert talk.device.next_us(talk.now) is None
    talk.device.power_up(talk.now)
    assert talk.raw(b"") == "knot up\r\n"
    row = "mount yaw 0.0 pitch 0.0 roll 0.0 upside-down N"
    assert talk.lines("tell mount") == [row]


def test_a_line_is_cut_after_200_characters(talk: Talk) -> None:
    talk.lines("craft call <a>".ljust(200) + " tail-number <b>")
    assert talk.lines("tell craft") == ["craft call <a> tail-number <>"]


def test_a_slow_board_prints_100_characters_a_second() -> None:
    options = Options(console=ConsoleKind.KNOT, slow=True)
    line = Line(Device(options), options)
    line.from_board(SECOND)
    line.to_board(b"name?\r\n", SECOND)
    line.from_board(SECOND + 1)
    said = line.from_board(SECOND + 200_000)
    assert 18 <= len(said) <= 21


def test_the_board_tells_who_it_is_and_what_holds_back(talk: Talk) -> None:
    assert talk.lines("name?") == ["knot 1.4.2 twin-tilt 44CB-9325"]
    outputs, uptime, *reasons = talk.lines("able?")
    assert (outputs, uptime) == ("outputs resting", "up 2.000")
    assert reasons == [
        "not able no radio link",
        "not able level not set",
        "not able no pack",
    ]


def test_live_outputs_are_told_and_halt_rests_them(talk: Talk) -> None:
    talk.device.aircraft.outputs_live = True
    assert talk.lines("able?")[0] == "outputs live"
    assert talk.lines("halt") == []
    assert talk.lines("able?")[0] == "outputs resting"


def test_the_lamp_blinks(talk: Talk) -> None:
    assert talk.lines("lamp 1000") == []
    assert talk.device.aircraft.lamp.blinks(talk.now) == 5


@pytest.mark.parametrize("size", [1, 3, 1000])
def test_it_does_not_matter_how_the_bytes_are_cut(size: int) -> None:
    typed = b"tell tilt-L\r\nhalt\r\nname?\r\n"
    whole = Talk().raw(typed)
    talk = Talk()
    for at in range(0, len(typed), size):
        talk.device.receive(typed[at : at + size], talk.now)
    assert talk.device.collect(talk.now + SECOND).decode() == whole

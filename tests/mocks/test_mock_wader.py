"""The wader console, typed to in virtual time."""

import pytest

from mocks.device import Device
from mocks.options import Options, parse_options

SECOND = 1_000_000
BOOT = 600_000


class Talk:
    """Types a line a second and reads all that the board says to it."""

    def __init__(self, options: Options | None = None) -> None:
        self.device = Device(options or Options())
        self.now = SECOND
        self.boot = self.device.collect(self.now).decode()

    def raw(self, data: bytes) -> str:
        self.device.receive(data, self.now)
        self.now += SECOND
        return self.device.collect(self.now).decode()

    def lines(self, line: str) -> list[str]:
        """The answer's lines, without echo and prompt."""
        said = self.raw(line.encode() + b"\r")
        head, tail = line + "\r\n", "\r\n@ "
        assert said.startswith(head)
        assert said.endswith(tail)
        return said[len(head) : -len(tail)].split("\r\n")


@pytest.fixture
def talk() -> Talk:
    return Talk()


def test_a_fresh_board_boots_with_factory_values(talk: Talk) -> None:
    assert talk.boot == (
        "\r\nwader boot 3\r\nstore: empty, factory values\r\n"
        "accel ok, gyro ok\r\nradio: waiting\r\n@ "
    )


def test_the_plate_names_the_board(talk: Talk) -> None:
    *facts, number, status = talk.lines("plate")
    assert facts == ["type      wader", "layout    twin-tilt", "firmware  1.4.2"]
    assert number.startswith("number    ")
    assert status == "done"


def test_the_state_tells_what_holds_back(talk: Talk) -> None:
    assert talk.lines("state") == [
        "outputs   resting",
        "uptime_s  1.000",
        "holding back: no radio link",
        "holding back: level not set",
        "holding back: no pack",
        "done",
    ]


def test_setting_the_level_stops_it_holding_back(talk: Talk) -> None:
    talk.lines("let level.set be yes")
    assert "holding back: level not set" not in talk.lines("state")


def test_live_outputs_are_held_back_by_nothing_and_halt_rests_them(talk: Talk) -> None:
    talk.device.aircraft.outputs_live = True
    assert [line.split()[0] for line in talk.lines("state")] == [
        "outputs",
        "uptime_s",
        "done",
    ]
    assert talk.lines("halt") == ["done"]
    assert talk.lines("state")[0] == "outputs   resting"


def test_a_recital_counts_its_settings_at_both_ends(talk: Talk) -> None:
    first, *listing, last, status = talk.lines("recite")
    assert (first, last, status) == ("settings: 612", "end of settings: 612", "done")
    assert len(listing) == 612
    assert "  tilt.left.centre_us: 1500" in listing
    assert {line[:2] for line in listing} == {"  ", "! ", "~ "}


def test_one_setting_is_recited_without_a_mark(talk: Talk) -> None:
    assert talk.lines("recite pack.warn_v") == ["pack.warn_v: 14.0", "done"]


@pytest.mark.parametrize(
    ("given", "printed"),
    [
        ("tilt.left.centre_us be 1510", "1510"),
        ("tilt.left.centre_us be +01510", "1510"),
        ("level.roll_deg be -1.5", "-1.50"),
        ("level.roll_deg be -0", "0.00"),
        ("mount.upside_down be yes", "yes"),
        ("motor.left.output be half-range", "half-range"),
        (r'craft.call be "the \"old\" \\ one"', r'"the \"old\" \\ one"'),
        ("tilt.bend_pct be -90,-40,0,40,90", "-90,-40,0,40,90"),
        ("accel.offset_x_mg be -12.5", "-12.5"),
        ("steady.roll.gain be 1.234", "1.25"),
        ("mount.yaw_deg be 7.3", "7.5"),
        ("filter.gyro.cut_hz be 90.1", "90.0"),
    ],
)
def test_a_value_is_taken_and_printed_in_the_boards_form(
    talk: Talk, given: str, printed: str
) -> None:
    assert talk.lines(f"let {given}") == ["done"]
    name = given.partition(" ")[0]
    assert talk.lines(f"recite {name}")[0] == f"{name}: {printed}"


@pytest.mark.parametrize(
    ("command", "reason"),
    [
        ("foo", "there is no word 'foo' here"),
        ("recite x.y", "no setting is called 'x.y'"),
        ("let x.y be 1", "no setting is called 'x.y'"),
        ("let tilt.left.centre_us be 9000", "9000 is above 2500"),
        ("let tilt.left.centre_us be 4", "4 is below 500"),
        ("let tilt.left.centre_us be 1.5", "'1.5' is not a whole number"),
        ("let level.roll_deg be 20.05", "20.05 is above 20"),
        ("let level.roll_deg be x", "'x' is not a number"),
        ("let level.roll_deg be 0.01", "0.01 is finer than steps of 0.05"),
        ("let board.number be 7", "board.number cannot be written"),
        ("let mount.upside_down be on", "'on' is not yes or no"),
        ("let tilt.left.direction be up", "'up' is not one of normal, reversed"),
        ("let craft.call be LW", "text must stand in double quotes"),
        ('let craft.call be "a', "text must stand in double quotes"),
        (f'let craft.call be "{"x" * 41}"', "text of 41 characters is longer than 40"),
        ("let tilt.bend_pct be 1,2", "5 numbers are needed, 2 given"),
        ("let tilt.bend_pct be 1, 2,3,4,5", "' 2' is not a whole number"),
        ("let filter.notch.centre_hz be 99", "needs filter.notch.on yes first"),
        ("let tilt.left.centre_us 1500", "say it as: let NAME be VALUE"),
        ("let tilt.left.centre_us be", "say it as: let NAME be VALUE"),
        ("lamp 0", "the lamp takes 1 to 5000 ms"),
        ("lamp 5001", "the lamp takes 1 to 5000 ms"),
        ("lamp long", "say it as: lamp MS"),
        ("keep now", "say it as: keep"),
        ("start", "say it as: start over"),
    ],
)
def test_a_refusal_tells_why_and_changes_nothing(
    talk: Talk, command: str, reason: str
) -> None:
    before = dict(talk.device.aircraft.live)
    assert talk.lines(command) == [f"sorry: {reason}"]
    assert talk.device.aircraft.live == before


@pytest.mark.parametrize(
    ("given", "limit"),
    [
        ("radio.failsafe.throttle_us be 9000", "2200"),
        ("radio.failsafe.throttle_us be 0", "800"),
        ("motor.left.idle_pct be 20.1", "20.0"),
        ("output.p1.rate_hz be 401", "400"),
    ],
)
def test_some_settings_limit_and_say_so(talk: Talk, given: str, limit: str) -> None:
    assert talk.lines(f"let {given}") == [f"note: limited to {limit}"]
    name = given.partition(" ")[0]
    assert talk.lines(f"recite {name}")[0] == f"{name}: {limit}"


def test_the_number_of_cells_moves_two_voltages_without_a_word(talk: Talk) -> None:
    assert talk.lines("let pack.cells be 6") == ["done"]
    assert talk.lines("recite pack.warn_v")[0] == "pack.warn_v: 21.0"
    assert talk.lines("recite pack.land_v")[0] == "pack.land_v: 19.8"


def test_the_notch_can_be_moved_once_it_is_on(talk: Talk) -> None:
    talk.lines("let filter.notch.on be yes")
    assert talk.lines("let filter.notch.centre_hz be 99") == ["done"]


def test_the_uptime_is_never_twice_the_same(talk: Talk) -> None:
    said = talk.lines("recite board.uptime_s;recite board.uptime_s")
    assert said[0] != said[2]


def test_several_commands_get_a_status_each_and_one_prompt(talk: Talk) -> None:
    assert talk.lines("halt; foo;;recite craft.call") == [
        "done",
        "sorry: there is no word 'foo' here",
        'craft.call: ""',
        "done",
    ]


def test_a_semicolon_parts_commands_inside_quotes_too(talk: Talk) -> None:
    assert talk.lines('let craft.call be "a;halt"') == [
        "sorry: text must stand in double quotes",
        "sorry: there is no word 'halt\"' here",
    ]


def test_an_empty_line_only_gives_a_prompt(talk: Talk) -> None:
    assert talk.raw(b"\r") == "\r\n@ "
    assert talk.raw(b" ; \r") == " ; \r\n@ "
    assert talk.device.console.commands == 0


@pytest.mark.parametrize("end", [b"\r", b"\n", b"\r\n"])
def test_each_line_end_ends_a_line_once(talk: Talk, end: bytes) -> None:
    assert talk.raw(b"halt" + end) == "halt\r\ndone\r\n@ "
    assert talk.raw(b"halt" + end) == "halt\r\ndone\r\n@ "


def test_an_empty_line_after_a_line_end_is_a_line(talk: Talk) -> None:
    assert talk.raw(b"halt\n\n") == "halt\r\ndone\r\n@ \r\n@ "


@pytest.mark.parametrize("eraser", [b"\x08", b"\x7f"])
def test_erasing_takes_back_a_character_and_stops_at_the_start(
    talk: Talk, eraser: bytes
) -> None:
    assert talk.raw(b"x" + eraser * 2 + b"halt\r") == "x\b \bhalt\r\ndone\r\n@ "


def test_abandoning_throws_the_line_away(talk: Talk) -> None:
    assert talk.raw(b"let tilt\x15") == "let tilt\r\n@ "
    assert talk.lines("halt") == ["done"]


def test_other_control_bytes_and_high_bytes_are_ignored(talk: Talk) -> None:
    assert talk.raw(b"h\x00a\x1bl\xc3\xa9t\r") == "halt\r\ndone\r\n@ "


@pytest.mark.parametrize("length", [120, 121])
def test_only_a_line_of_more_than_120_characters_is_thrown_away(
    talk: Talk, length: int
) -> None:
    line = "halt;".ljust(length, "y")
    too_long = "sorry: that line is longer than 120 characters"
    assert (talk.lines(line) == [too_long]) is (length > 120)


def test_starting_over_spares_the_calibration(talk: Talk) -> None:
    talk.lines("let tilt.left.centre_us be 1600; let accel.offset_x_mg be 3.5")
    assert talk.lines("start over") == ["done"]
    assert talk.lines("recite tilt.left.centre_us")[0].endswith("1500")
    assert talk.lines("recite accel.offset_x_mg")[0].endswith("3.5")


def test_forgetting_brings_kept_values_back(talk: Talk) -> None:
    talk.lines("let tilt.left.centre_us be 1600; keep")
    talk.lines("let tilt.left.centre_us be 1700; forget")
    assert talk.lines("recite tilt.left.centre_us")[0].endswith("1600")


def test_a_restart_reverts_what_was_not_kept(talk: Talk) -> None:
    assert talk.lines("let pack.cells be 6; keep") == [
        "done",
        "kept 612 settings",
        "done",
    ]
    talk.lines("let tilt.left.centre_us be 1600")
    said = talk.raw(b"restart\r")
    assert "done\r\n@ \r\nwader boot 3\r\nstore: 612 settings\r\n" in said
    assert talk.lines("recite tilt.left.centre_us")[0].endswith("1500")
    assert talk.lines("recite pack.cells")[0].endswith("6")


def test_a_restart_rests_the_outputs_and_starts_the_uptime(talk: Talk) -> None:
    talk.device.aircraft.outputs_live = True
    talk.raw(b"restart\r")
    outputs, uptime, *_ = talk.lines("state")
    assert outputs == "outputs   resting"
    assert uptime == "uptime_s  0.949"


def test_the_lamp_blinks_as_long_as_asked(talk: Talk) -> None:
    lamp = talk.device.aircraft.lamp
    started = talk.now
    talk.lines("lamp 1000")
    assert lamp.blinks(started + 300_000) == 2
    assert lamp.blinks(started + 9 * SECOND) == 5
    talk.lines("lamp 1")
    assert lamp.blinks(talk.now) == 6


def test_the_words_are_all_listed(talk: Talk) -> None:
    *words, status = talk.lines("words")
    known = "plate state recite let keep forget restart start lamp halt feel hear"
    known += " swing slack whirl words"
    assert " ".join(line.split()[0] for line in words) == known
    assert status == "done"


def test_the_lines_acted_on_are_remembered(talk: Talk) -> None:
    talk.raw(b"\rhalt\r")
    talk.raw(b"plate;state\r")
    assert list(talk.device.console.received) == ["halt", "plate;state"]
    assert talk.device.console.commands == 3


@pytest.mark.parametrize("size", [1, 3, 1000])
def test_it_does_not_matter_how_the_bytes_are_cut(size: int) -> None:
    typed = b"plate\r\nrecite tilt.left.centre_us\nhalx\x7ft;foo\r\x15"
    whole = Talk().raw(typed)
    device = Device(Options(handling_us=0))
    device.collect(SECOND)
    for at in range(0, len(typed), size):
        device.receive(typed[at : at + size], SECOND)
    assert device.collect(SECOND).decode() == whole


def card_board() -> Talk:
    return Talk(parse_options(["--settings", "60", "--card"]))


def test_a_card_is_looked_for_at_a_start_only() -> None:
    talk = card_board()
    refused = "sorry: needs log.card.on yes first, from a start on"
    assert talk.lines("let log.card.on be yes") == ["done"]
    assert talk.lines("let log.card.every be 2") == [refused]
    talk.lines("keep")
    talk.raw(b"restart\r")
    assert talk.lines("let log.card.every be 2") == ["done"]
    assert talk.lines("let log.card.on be no") == ["done"]
    assert talk.lines("let log.card.every be 3") == ["done"], "it is on until a start"


def test_only_a_board_that_was_made_so_has_a_slot_for_one() -> None:
    assert sum("log.card." in line for line in card_board().lines("recite")) == 3
    assert not any("log.card." in line for line in Talk().lines("recite"))
    with pytest.raises(SystemExit):
        parse_options(["--console", "knot", "--card"])

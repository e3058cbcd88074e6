"""The lines that move outputs: rendered within their limits, or refused."""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.console.description import Description
from benchlink.console.dial import POWER_UNITS, Dial
from benchlink.console.grammar import Grammar
from benchlink.console.live import LiveGrammar
from benchlink.core.plan import Moves
from benchlink.core.utterance import Utterance
from benchlink.errors import UsageError
from benchlink.units import Power, PulseUs, Seconds, power, pulse_us
from tests.console.talking import MANY, console

LIVE = (
    "{outputs: {p1: tilt-left, p2: motor-left}, motors: {L: motor-left},"
    ' drive: {line: "push {output} {pulse} {time}",'
    " pulse: {unit: us, scale: 0.5, least: 1000, most: 5000},"
    " time: {unit: ms, least: 1, most: 900}},"
    ' release: {line: "ease {output}"},'
    ' spin: {line: "spin {motor} {percent}", expires-ms: 400,'
    " percent: {unit: percent, most: 25, places: 1}}}"
)
VERBS = '{write: {line: "put {name} {value}"}, stop: {line: halt}}'


def described(live: str = LIVE) -> Description:
    return console(live=live, verbs=VERBS)


@pytest.fixture
def live() -> LiveGrammar:
    return LiveGrammar(Grammar(described()))


def line_of(said: Utterance) -> str:
    (only,) = said.commands
    assert only.changes, "it must never be repeated blindly"
    return only.line


def test_each_verb_is_told_in_the_units_of_the_console(live: LiveGrammar) -> None:
    pushed = live.drive("p1", PulseUs(1512.3), Seconds(0.4))
    assert line_of(pushed) == "push p1 3025 400"
    assert line_of(live.release("p2")) == "ease p2"
    assert line_of(live.spin("L", Power(0.1259))) == "spin L 12.5"


def test_it_is_known_what_each_verb_moves_and_how_long() -> None:
    verbs = described().live.verbs
    assert {name: live.verb.moves for name, live in verbs.items()} == {
        "drive": Moves.MOTOR,
        "release": Moves.SERVO,
        "spin": Moves.MOTOR,
    }
    assert (verbs["spin"].expires, verbs["spin"].timed) == (Seconds(0.4), False)
    assert (verbs["drive"].expires, verbs["drive"].timed) == (None, True)


def test_outputs_that_all_drive_tilts_move_servos() -> None:
    verbs = described(LIVE.replace("p2: motor-left", "p2: tilt-right")).live.verbs
    assert verbs["drive"].verb.moves is Moves.SERVO
    assert verbs["spin"].verb.moves is Moves.MOTOR


def test_an_output_that_a_setting_decides_may_be_a_motor() -> None:
    verbs = described(LIVE.replace("p2: motor-left", "p2: by-setting")).live.verbs
    assert verbs["drive"].verb.moves is Moves.MOTOR


@pytest.mark.parametrize("output", ["p3", "", "P1", "p1;halt", "p1 9", "p1\r"])
def test_an_output_that_is_not_declared_is_refused(
    live: LiveGrammar, output: str
) -> None:
    with pytest.raises(ValueError, match=r"is no output .* \(p1, p2\)"):
        live.drive(output, PulseUs(1500), Seconds(0.1))
    with pytest.raises(ValueError, match="is no output"):
        live.release(output)


def test_a_motor_that_is_not_declared_is_refused(live: LiveGrammar) -> None:
    with pytest.raises(ValueError, match=r"is no motor .* \(L\)"):
        live.spin("R", Power(0.1))


@pytest.mark.parametrize(
    ("pulse", "seconds", "why"),
    [
        (499.9, 0.1, "pulse: 999.8 is beyond .* 1000 to 5000"),
        (2500.1, 0.1, "pulse: 5000.2 is beyond"),
        (1e30, 0.1, "pulse: .* is beyond"),
        (math.nan, 0.1, "pulse: nan is no quantity"),
        (math.inf, 0.1, "pulse: inf is no quantity"),
        (1500, 0.901, "time: 901 is beyond"),
        (1500, 0.0009, "time: 0.9 is beyond"),
        (1500, -1, "time: -1000 is beyond"),
    ],
)
def test_what_is_beyond_the_limits_is_refused(
    live: LiveGrammar, pulse: float, seconds: float, why: str
) -> None:
    with pytest.raises(ValueError, match=why):
        live.drive("p1", PulseUs(pulse), Seconds(seconds))


@pytest.mark.parametrize("given_power", [0.2501, 1.0, -0.01, 12.5])
def test_more_power_than_is_declared_is_refused(
    live: LiveGrammar, given_power: float
) -> None:
    with pytest.raises(ValueError, match=r"percent: .* is beyond"):
        live.spin("L", Power(given_power))


def test_a_time_is_told_exactly_where_the_line_has_room(live: LiveGrammar) -> None:
    with pytest.raises(ValueError, match="has to be told for how long to drive"):
        live.drive("p1", PulseUs(1500))
    with pytest.raises(ValueError, match="cannot be told for how long to spin"):
        live.spin("L", Power(0.1), Seconds(0.2))


def test_a_console_without_live_verbs_says_where_to_describe_them() -> None:
    bare = LiveGrammar(Grammar(console(verbs=VERBS)))
    assert not bare.can("release")
    with pytest.raises(ValueError, match=r"\(none\)"):
        bare.release("p1")
    declared = LIVE.replace(' release: {line: "ease {output}"},', "")
    half = LiveGrammar(Grammar(described(declared)))
    with pytest.raises(UsageError, match="no way to release") as caught:
        half.release("p1")
    assert "live: release:" in caught.value.hint


@MANY
@given(st.floats(min_value=0, max_value=0.25))
def test_never_more_power_is_told_than_was_asked_for(asked: float) -> None:
    said = line_of(LiveGrammar(Grammar(described())).spin("L", Power(asked)))
    told = Decimal(said.removeprefix("spin L ")) / 100
    assert 0 <= told <= Decimal(repr(asked))
    assert Decimal(repr(asked)) - told < Decimal("0.001")


@MANY
@given(st.floats())
def test_no_pulse_leaves_its_limits(asked: float) -> None:
    try:
        drive = LiveGrammar(Grammar(described())).drive
        said = line_of(drive("p1", PulseUs(asked), Seconds(0.1)))
    except ValueError:
        assert not 500 <= asked <= 2500
        return
    assert 1000 <= int(said.split()[2]) <= 5000


def test_a_dial_never_says_minus_nothing() -> None:
    dial = Dial(unit=POWER_UNITS["fraction"], least=Decimal(0), most=Decimal(1))
    assert dial.of(-0.0) == "0"


def test_live_verbs_are_tried_at_their_limits() -> None:
    assert list(LiveGrammar(Grammar(described())).untellable()) == []
    long = described(LIVE.replace('"ease {output}"', f'"ease {"x" * 80} {{output}}"'))
    (problem,) = LiveGrammar(Grammar(long)).untellable()
    assert "live verb release with p1" in str(problem)
    assert "longer than the 80" in str(problem)
    assert problem.place.line == 8


@pytest.mark.parametrize("value", [399, 2601, math.nan])
def test_a_pulse_that_no_servo_takes_is_none(value: float) -> None:
    with pytest.raises(ValueError, match="outside 400 to 2600"):
        pulse_us(value)
    assert pulse_us(1500) == PulseUs(1500)


@pytest.mark.parametrize("value", [-0.1, 1.1, math.nan])
def test_a_power_is_a_fraction(value: float) -> None:
    with pytest.raises(ValueError, match="no fraction"):
        power(value)
    assert power(0.5) == 0.5

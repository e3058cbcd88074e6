"""Settings by what they are for: read and written in our units, or said why not."""

import pytest

from benchlink.console.roles import RoleBook
from benchlink.core.angles import Way
from benchlink.core.roles import (
    MOTOR_DIRECTIONS,
    TILT_ROLES,
    Direction,
    Ends,
    Measure,
    OwnSide,
    Role,
)
from benchlink.core.settings import Snapshot
from benchlink.core.values import Switch, Text, Value, Word
from benchlink.errors import UsageError
from benchlink.units import PulseUs
from tests.console.talking import console, mistakes_of
from tests.core.making import num, setting

HALVES = """
  ends: from-centre
  left-centre: {setting: lc, unit: us, scale: 0.5}
  left-aft: {setting: la, unit: ms, step: 0.01}
  left-fore: lf
  left-direction: {setting: ld, normal: 0, reversed: 1}
  right-direction: rd
  level-roll: {setting: lr, scale: 0.1, step: 5}
  self-levelling: hold
"""


def book(roles: str = HALVES) -> RoleBook:
    return RoleBook(console(roles=roles))


def holding(**values: Value) -> Snapshot:
    return Snapshot(settings={name: setting(name, v) for name, v in values.items()})


def test_a_pulse_is_read_in_us_whatever_the_console_counts_in() -> None:
    board = holding(lc=num("2974"), la=num("0.402"), lf=num("396"))
    assert book().pulse(Role.LEFT_CENTRE, board) == PulseUs(1487)
    assert book().pulse(Role.LEFT_AFT, board) == pytest.approx(402)
    assert book().pulse(Role.LEFT_FORE, board) == PulseUs(396)


@pytest.mark.parametrize(
    ("role", "asked", "written", "really"),
    [
        (Role.LEFT_CENTRE, 1487.3, "2975", 1487.5),
        (Role.LEFT_AFT, 397.0, "0.40", 400),
        (Role.LEFT_FORE, 396.4, "396", 396),
        (Role.LEVEL_ROLL, 0.8, "10", 1.0),
        (Role.LEVEL_ROLL, -0.1, "0", 0.0),
    ],
)
def test_what_is_written_is_the_nearest_step_and_tells_what_it_really_is(
    role: Role, asked: float, written: str, really: float
) -> None:
    value = book().value_for(role, asked)
    assert str(value) == written
    assert book().number_of(role, value) == pytest.approx(really)


def test_an_end_from_the_centre_is_never_below_zero() -> None:
    counted = book()
    centre = PulseUs(1500)
    for pulse in (PulseUs(1100), PulseUs(1900)):
        value = counted.end_value(Role.LEFT_FORE, pulse, centre)
        assert value == num("400")
        longer = pulse > centre
        back = counted.end_pulse(Role.LEFT_FORE, value, centre=centre, longer=longer)
        assert back == pulse


def test_an_end_that_is_a_pulse_stands_by_itself() -> None:
    counted = book("{ends: pulses, left-aft: la}")
    assert counted.ends is Ends.PULSES
    value = counted.end_value(Role.LEFT_AFT, PulseUs(1100), PulseUs(1500))
    assert value == num("1100")
    at = counted.end_pulse(Role.LEFT_AFT, value, centre=PulseUs(1500), longer=True)
    assert at == PulseUs(1100)


def test_a_direction_is_told_by_the_words_of_the_console() -> None:
    board = holding(ld=num("1"), rd=Word("normal"))
    assert book().direction(Role.LEFT_DIRECTION, board) is Direction.REVERSED
    assert book().direction(Role.RIGHT_DIRECTION, board) is Direction.NORMAL
    assert book().direction_value(Role.LEFT_DIRECTION, Direction.NORMAL) == num("0")
    switched = book("{left-direction: {setting: ld, normal: off, reversed: on}}")
    assert switched.direction(Role.LEFT_DIRECTION, holding(ld=Switch(on=True))) is (
        Direction.REVERSED
    )


def test_a_board_without_the_setting_holds_nothing() -> None:
    assert book().pulse(Role.LEFT_CENTRE, holding()) is None
    assert book().direction(Role.LEFT_DIRECTION, holding()) is None
    assert book().value(Role.SELF_LEVELLING, holding(hold=Switch(on=True))) == Switch(
        on=True
    )


def test_a_role_without_a_setting_says_what_to_add() -> None:
    assert book().setting(Role.RIGHT_CENTRE) is None
    assert book().has(Role.LEFT_CENTRE, Role.LEFT_AFT)
    assert not book().has(Role.LEFT_CENTRE, Role.RIGHT_CENTRE)
    with pytest.raises(
        UsageError, match=r"'gull' does not say .* the right centre"
    ) as e:
        book().pulse(Role.RIGHT_CENTRE, holding())
    assert "`right-centre: NAME`" in e.value.hint
    with pytest.raises(UsageError):
        book().value_for(Role.RIGHT_CENTRE, 1500)


def test_what_the_board_holds_must_be_of_the_kind() -> None:
    with pytest.raises(UsageError, match="'lc' should hold the left centre, but"):
        book().pulse(Role.LEFT_CENTRE, holding(lc=Text("1500")))
    with pytest.raises(UsageError, match="'ld' holds 2, which is neither 0 nor 1"):
        book().direction(Role.LEFT_DIRECTION, holding(ld=num("2")))


def test_every_side_has_its_own_roles() -> None:
    for side in OwnSide:
        tilt = TILT_ROLES[side]
        ways = [f(way) for f in (tilt.end, tilt.angle) for way in Way]
        own = [tilt.centre, tilt.direction, *ways, MOTOR_DIRECTIONS[side]]
        assert all(role.value.startswith(side.value) for role in own)
        assert len(set(own)) == len(own)
        assert side.other is not side
    assert TILT_ROLES[OwnSide.LEFT].end(Way.AFT) is Role.LEFT_AFT
    assert TILT_ROLES[OwnSide.RIGHT].angle(Way.FORWARD) is Role.RIGHT_FORE_ANGLE
    assert Role.MOUNT_PITCH.measure is Measure.ANGLE
    assert Direction.NORMAL.other is Direction.REVERSED


@pytest.mark.parametrize(
    ("roles", "mistake"),
    [
        ("x", "`roles:` must be a table of keys"),
        ("{left-center: a}", "no role 'left-center'; write `left-centre:` (there are"),
        ("{left-centre: a, right-centre: a}", "'a' cannot be the right centre as well"),
        ("{left-centre: ''}", "`left-centre:` names no setting"),
        ("{left-centre: {unit: us}}", "the role left-centre needs `setting:`"),
        ("{left-centre: {setting: a, unit: m}}", "`unit:` must be one of us, ms, s"),
        ("{left-rate: {setting: a, unit: ms}}", "`unit:` must be one of Hz"),
        ("{left-centre: {setting: a, scale: 0}}", "`scale:` must be a number above 0"),
        ("{left-centre: {setting: a, step: x}}", "`step:` must be a number above 0"),
        ("{left-centre: {setting: a, normal: x}}", "does not know `normal:`"),
        ("{self-levelling: {setting: a, scale: 2}}", "does not know `scale:`"),
        ("{left-aft: a}", "`left-aft:` needs `ends:`, how the ends are counted"),
        ("{ends: spans, left-aft: a}", "`ends:` must be one of from-centre, pulses"),
        ("{left-direction: {setting: a, normal: [x]}}", "`normal:` is one word, not"),
        (
            "{left-direction: {setting: a, normal: reversed}}",
            "one word for both directions",
        ),
    ],
)
def test_a_mistake_in_the_roles_is_named(roles: str, mistake: str) -> None:
    assert mistake in mistakes_of(roles=roles)


def test_a_second_name_is_no_name_for_a_role() -> None:
    told = mistakes_of(roles="{left-centre: b}", aliases="{b: a}")
    assert "'b' is a second name; write 'a'" in told


def test_roles_are_not_needed() -> None:
    assert not RoleBook(console()).has(Role.LEFT_CENTRE)

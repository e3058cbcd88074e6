"""What a throw asks where no flag said it: angles, and where the arm meets something."""

import pytest

from benchlink.core.angles import Way
from benchlink.core.throw_ends import Stops
from benchlink.errors import UsageError
from benchlink.faces.arguments import Given, defaults
from benchlink.faces.throw_asking import UNKNOWN, asked_angles, asked_stops
from tests.support.people import ScriptedPerson

HELD = {Way.FORWARD: "left 36 and right 36", Way.AFT: ""}


def typist(*lines: str) -> ScriptedPerson:
    """Types one line after the other, then nothing."""
    left = list(lines)

    def asked(said: str) -> None:
        if said.endswith("? "):
            person.typed = left.pop(0) if left else ""

    person = ScriptedPerson(at=asked)
    return person


def throw(**said: float) -> Given:
    given = defaults("throw", "both")
    for name, value in said.items():
        setattr(given, f"{name}_deg", value)
    return given


def test_flags_are_not_asked_about() -> None:
    person = typist()
    given = throw(forward=36, aft=30, stop_forward=45, stop_aft=44)
    assert asked_angles(given, HELD, person) == {Way.FORWARD: 36, Way.AFT: 30}
    assert asked_stops(given, person) == Stops(forward_deg=45, aft_deg=44)
    assert (person.asked, person.told) == ([], [])


def test_what_no_flag_said_is_typed() -> None:
    person = typist("35,5", "30 deg aft", "45", "44")
    assert asked_angles(throw(), HELD, person) == {Way.FORWARD: 35.5, Way.AFT: 30}
    assert asked_stops(throw(), person) == Stops(forward_deg=45, aft_deg=44)
    assert not person.told


def test_enter_leaves_it_to_the_board_and_says_what_that_has() -> None:
    person = typist()
    assert asked_angles(throw(), HELD, person) == {Way.FORWARD: 0, Way.AFT: 0}
    assert "(Enter: left 36 and right 36, as the board has it)" in person.asked[0]
    assert "Enter" not in person.asked[1]


def test_enter_says_that_nobody_knows_what_is_in_the_way() -> None:
    person = typist("45")
    assert asked_stops(throw(), person) == Stops(forward_deg=45)
    assert person.told == [UNKNOWN]
    assert "--" not in "".join((*person.asked, *person.told))


@pytest.mark.parametrize("typed", ["far", "36 aft", "-36", "120", "0"])
def test_what_is_no_angle_that_way_is_asked_again(typed: str) -> None:
    person = typist(typed, "36", "30")
    assert asked_angles(throw(), HELD, person) == {Way.FORWARD: 36, Way.AFT: 30}
    assert person.told


def test_whoever_knows_none_ends_it() -> None:
    with pytest.raises(UsageError, match="nobody has said how far forward"):
        asked_angles(throw(), HELD, typist("far", "far", "far"))

"""Small changes after a flight, and the play that they have to live with."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.core.angles import Degrees, Estimate, Way
from benchlink.core.play import PlayVerdict, play_of
from benchlink.core.servo_fit import new_fit
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.core.trim import (
    Lean,
    TrimmedSide,
    Wandering,
    cure,
    stick_trim_deg,
    trim,
)
from benchlink.errors import UsageError
from benchlink.units import PulseUs
from tests.core.making import FEW
from tests.core.plain_arm import us
from tests.core.vectors import vector


def side(turns: Turns, *ends: float, us_per_deg: float = 10.0) -> TrimmedSide:
    fit = new_fit(ServoPart(turns=turns, us_per_deg=us_per_deg))
    return TrimmedSide(
        fit=fit, centre_us=PulseUs(1500.0), ends_us=tuple(map(PulseUs, ends))
    )


LEFT, RIGHT = side(Turns.FORWARD), side(Turns.AFT, us_per_deg=12.0)


def test_drift_is_cured_by_both_tilts_together() -> None:
    both = trim(LEFT, RIGHT, cure(Wandering.FORWARD, 1.0))

    assert vector("sense_both_forward") == [0, -1, 0]
    assert (both.left.by_deg, both.right.by_deg) == (Degrees(-1.0), Degrees(-1.0))
    assert (both.left.centre_us, both.right.centre_us) == us(1490, 1512)
    assert str(both.left) == "1.0 deg aft: centre 1490 us"


def test_a_wandering_nose_is_cured_by_tilts_opposed() -> None:
    both = trim(LEFT, RIGHT, cure(Wandering.NOSE_LEFT, 1.0))

    # Left forward and right aft turn the nose right.
    assert vector("sense_left_fwd_right_aft") == [0, 0, 1]
    assert (both.left.by_deg, both.right.by_deg) == (Degrees(1.0), Degrees(-1.0))
    assert (both.left.centre_us, both.right.centre_us) == us(1510, 1512)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (Wandering.FORWARD, Wandering.AFT),
        (Wandering.NOSE_LEFT, Wandering.NOSE_RIGHT),
    ],
)
def test_opposite_wanderings_cancel(one: Wandering, other: Wandering) -> None:
    assert cure(one).plus(cure(other)) == Lean()


@FEW
@given(together=st.floats(-1, 1), opposed=st.floats(-1, 1))
def test_centre_and_ends_move_together(together: float, opposed: float) -> None:
    lean = Lean(together_deg=Degrees(together), opposed_deg=Degrees(opposed))
    one = trim(LEFT, RIGHT, lean)
    back = trim(
        LEFT,
        RIGHT,
        Lean(together_deg=Degrees(-together), opposed_deg=Degrees(-opposed)),
    )

    assert one.left.shift_us == -back.left.shift_us
    assert one.left.centre_us == 1500 + one.left.shift_us
    assert one.left.shift_us == pytest.approx(10 * lean.left_deg, abs=0.51)
    assert one.right.shift_us == pytest.approx(-12 * lean.right_deg, abs=0.51)


def test_more_than_a_trim_is_refused() -> None:
    with pytest.raises(UsageError, match="more than a trim") as told:
        trim(LEFT, RIGHT, cure(Wandering.AFT, 3.5))

    assert "balance" in told.value.hint


def test_a_trim_that_pushes_an_end_out_of_range_is_refused() -> None:
    tight = side(Turns.FORWARD, 1005.0, 1995.0)

    with pytest.raises(UsageError, match="2005 us is outside"):
        trim(tight, RIGHT, cure(Wandering.AFT, 1.0))


def test_the_transmitters_trim_is_taken_up_in_degrees() -> None:
    assert stick_trim_deg(12, 400, 36, Way.FORWARD) == pytest.approx(1.08)
    assert stick_trim_deg(12, 400, 36, Way.AFT) == pytest.approx(-1.08)
    with pytest.raises(UsageError, match="full stick"):
        stick_trim_deg(12, 0, 36, Way.FORWARD)


@pytest.mark.parametrize(
    ("size", "verdict"),
    [
        (-0.2, PlayVerdict.GOOD),
        (1.0, PlayVerdict.GOOD),
        (1.1, PlayVerdict.WATCH),
        (2.0, PlayVerdict.WATCH),
        (2.1, PlayVerdict.TOO_MUCH),
    ],
)
def test_play_is_judged_by_its_size(size: float, verdict: PlayVerdict) -> None:
    found = play_of(Estimate(mean_deg=Degrees(size), sd_deg=0.2), 10)

    assert found.verdict is verdict
    assert found.lost_us == pytest.approx(max(0, size) * 10)


def test_play_is_told_in_degrees_and_in_microseconds() -> None:
    found = play_of(Estimate(mean_deg=Degrees(0.8), sd_deg=0.2), 1 / 0.0981)

    assert found.lost_us == pytest.approx(vector("lost_motion_us")[0])
    assert str(found) == "free play 0.8 deg, give or take 0.4 (8 us): good"

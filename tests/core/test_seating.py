"""When a horn is moved, by how many teeth, and what one reading tells afterwards."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from benchlink.core.angles import Degrees, Estimate, Side, Way
from benchlink.core.horn_seat import LOST_SD_DEG, SeatRead, seat_read
from benchlink.core.seating import HornMove, horn_move, step_deg
from benchlink.core.servo_fit import Reading, new_fit
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.units import PulseUs
from tests.core.making import FEW
from tests.core.vectors import vector


def off(mean_deg: float, sd_deg: float = 0.25) -> Estimate:
    return Estimate(mean_deg=Degrees(mean_deg), sd_deg=sd_deg)


def move(mean_deg: float, teeth: int = 25, arms: int = 1) -> HornMove:
    found = horn_move(ServoPart(teeth=teeth, arms=arms), off(mean_deg))
    assert found is not None
    return found


@pytest.mark.parametrize("teeth", [15, 21, 23, 24, 25])
def test_teeth_are_so_far_apart(teeth: int) -> None:
    assert step_deg(teeth) == pytest.approx(vector(f"tooth_{teeth}T")[0])


def test_arms_make_the_steps_finer() -> None:
    horns = [(25, 1), (25, 2), (25, 4), (25, 6), (24, 2), (24, 4), (24, 5), (23, 2)]

    assert [step_deg(*h) for h in horns] == pytest.approx(vector("arm_step"))


def test_more_than_half_a_tooth_off_is_a_tooth_and_the_rest_is_trimmed() -> None:
    # The worked figure counts the steps that the arm stands off; it moves back by them.
    one, double = move(9.3), move(9.3, arms=2)

    for found, name in (
        (one, "reseat_25T_9.3deg"),
        (double, "reseat_25T_double_9.3deg"),
    ):
        steps = -found.by_deg / found.step_deg
        assert [steps, found.remaining_deg] == pytest.approx(vector(name))
    assert (one.way, one.teeth, one.arms_on) == (Way.AFT, 1, 0)


def test_less_than_half_a_tooth_off_is_trimmed() -> None:
    assert vector("reseat_24T_6.0deg")[0] == 0
    assert horn_move(ServoPart(teeth=24), off(6.0)) is None


def test_a_move_that_gains_next_to_nothing_is_not_asked_for() -> None:
    assert horn_move(ServoPart(), off(7.4)) is None
    assert horn_move(ServoPart(), off(9.3, sd_deg=3)) is None


def test_half_a_tooth_on_a_double_arm_is_the_other_arm() -> None:
    found = move(7.2, arms=2)

    assert found.by_deg == pytest.approx(-7.2)
    assert found.arms_on == 1
    assert found.teeth * 14.4 + found.arms_on * 180 == pytest.approx(7.2)


@FEW
@given(
    mean=st.floats(-60, 60),
    teeth=st.sampled_from([15, 21, 23, 24, 25]),
    arms=st.integers(1, 6),
)
def test_teeth_and_arms_always_make_up_the_move(
    mean: float, teeth: int, arms: int
) -> None:
    found = horn_move(ServoPart(teeth=teeth, arms=arms), off(mean))
    assume(found is not None)
    assert found is not None
    turned = found.teeth * 360 / teeth + found.arms_on * 360 / arms
    missing = (turned - abs(found.by_deg) + 180) % 360 - 180

    assert missing == pytest.approx(0, abs=1e-6)
    assert abs(found.remaining_deg) <= found.step_deg / 2 + 1e-9
    assert mean + found.by_deg == pytest.approx(found.remaining_deg)


def after(shown: float) -> SeatRead:
    """The arm stood 17 deg forward and was to move one tooth aft."""
    fit = new_fit(ServoPart(turns=Turns.FORWARD))
    lost = fit.with_horn_moved(-14.4, LOST_SD_DEG)
    reading = Reading(pulse_us=PulseUs(1500.0), rising=True, angle_deg=Degrees(shown))
    return seat_read(lost, off(17.0), move(17.0), reading)


def test_a_horn_that_sits_as_asked_keeps_what_was_read_before() -> None:
    seat = after(2.5)
    there = seat.fit.at(1500, Side.FROM_AFT)

    assert seat.remark == ""
    assert there.mean_deg == pytest.approx(2.6, abs=0.2)
    assert there.sd_deg < 0.6


@pytest.mark.parametrize(
    ("shown", "remark"),
    [
        (31.3, "the horn was to move 14.4 deg aft and moved 14.4 deg forward"),
        (-11.6, "the horn was to move 14.4 deg aft and moved 28.8 deg aft"),
        (17.1, "the horn was to move 14.4 deg aft and sits where it was"),
        (9.0, "the horn did not move by whole steps of 14.4 deg"),
    ],
)
def test_a_horn_that_sits_elsewhere_is_told(shown: float, remark: str) -> None:
    assert after(shown).remark == remark


def test_between_two_teeth_nothing_of_before_is_kept() -> None:
    assert after(9.0).fit.at(1500, Side.FROM_AFT).sd_deg > 9

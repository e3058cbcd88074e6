"""Whether a centre leaves room for the ends."""

import pytest

from benchlink.core.angles import Degrees, Way
from benchlink.core.centring_state import Wanted
from benchlink.core.servo_fit import Reading, ServoFit, new_fit
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.core.throw_room import ends_of, missing_room
from benchlink.units import PulseUs
from tests.core.vectors import vector

EXACT = ServoPart(
    turns=Turns.FORWARD,
    slope_share=0.001,
    bend_deg=0.0,
    play_deg=0.0,
    play_spread_deg=0.001,
)


def centred_at(pulse: float) -> ServoFit:
    fit = new_fit(EXACT, reader_sd_deg=0.001)
    there = Reading(pulse_us=PulseUs(pulse), rising=True, angle_deg=Degrees(0.0))
    for _ in range(50):
        fit = fit.with_reading(there)
    return fit


@pytest.mark.parametrize("centre", [1593, 1449])
def test_the_ends_are_where_the_slope_puts_them(centre: int) -> None:
    ends = ends_of(centred_at(centre), Wanted(), 45.0)
    pulses = [end.pulse_us for way in (Way.AFT, Way.FORWARD) if (end := ends[way])]

    assert pulses == pytest.approx(vector(f"ends_{centre}_45deg"), abs=0.5)


def test_a_centre_trimmed_far_leaves_one_end_without_pulses() -> None:
    fit = centred_at(1593.0)
    told = missing_room(fit, Wanted(throw_deg=45.0), PulseUs(1593.0))

    assert told is not None
    assert "45 deg forward then needs 2043 us" in told.reason
    assert missing_room(fit, Wanted(throw_deg=36.0), PulseUs(1593.0)) is None
    assert missing_room(fit, Wanted(), PulseUs(1593.0)) is None


def test_an_end_that_only_may_lie_outside_is_left_to_the_throw() -> None:
    open_fit = new_fit(ServoPart(turns=Turns.FORWARD))

    assert missing_room(open_fit, Wanted(throw_deg=52.0), PulseUs(1500.0)) is None

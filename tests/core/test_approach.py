"""Small hops, and the last move always from the stated side."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.core.angles import Degrees, Side
from benchlink.core.approach import (
    FIRST_TOUCH_US,
    LONGEST_HOP_US,
    Window,
    pulses,
    route,
    settle_s,
    take_up_us,
)
from benchlink.core.servo_fit import Reading, ServoFit, new_fit
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.units import PulseUs
from tests.core.making import FEW
from tests.core.plain_arm import us
from tests.core.vectors import vector

RANGE = st.integers(1000, 2000).map(lambda us: PulseUs(float(us)))
AFT, FORWARD = Side.FROM_AFT, Side.FROM_FORWARD


def fit_of(turns: Turns = Turns.FORWARD, *, read: bool = True) -> ServoFit:
    fit = new_fit(ServoPart(turns=turns))
    first = Reading(pulse_us=PulseUs(1500.0), rising=True, angle_deg=Degrees(0.0))
    return fit.with_reading(first) if read else fit


@FEW
@given(
    start=RANGE,
    goal=RANGE,
    side=st.sampled_from(Side),
    turns=st.sampled_from([Turns.FORWARD, Turns.AFT]),
)
def test_no_hop_is_long_and_the_last_move_comes_from_the_side(
    start: PulseUs, goal: PulseUs, side: Side, turns: Turns
) -> None:
    fit = fit_of(turns)
    way = [start, *pulses(route(fit, start, goal, side))]
    hops = [b - a for a, b in pairwise(way)]

    assert way[-1] == goal
    assert all(abs(hop) <= LONGEST_HOP_US for hop in hops)
    assert all(1000 <= pulse <= 2000 for pulse in way)
    at_the_end = goal in us(1000, 2000)
    assert at_the_end or (hops[-1] > 0) == fit.rising(side)


def test_from_the_wrong_side_it_goes_past_by_dead_band_and_play() -> None:
    fit = fit_of()
    way = pulses(route(fit, PulseUs(1600.0), PulseUs(1500.0), AFT))

    assert min(way) == PulseUs(float(round(1500 - take_up_us(fit))))
    assert way[-1:] == us(1500)


def test_from_the_right_side_and_far_enough_it_goes_straight() -> None:
    way = pulses(route(fit_of(), PulseUs(1300.0), PulseUs(1500.0), AFT))

    assert way == us(1400, 1500)


def test_at_the_place_already_it_comes_again() -> None:
    way = pulses(route(fit_of(), PulseUs(1500.0), PulseUs(1500.0), FORWARD))

    assert max(way) > 1500 + 10
    assert way[-1:] == us(1500)


def test_the_first_touch_of_a_servo_is_the_smallest() -> None:
    way = route(fit_of(read=False), PulseUs(1300.0), PulseUs(1500.0), AFT)

    assert pulses(way) == us(1300 + FIRST_TOUCH_US, 1360, 1440, 1500)


def test_an_output_that_gave_no_pulse_gets_long_to_come_to_rest() -> None:
    way = route(fit_of(), None, PulseUs(1500.0), AFT)

    assert pulses(way)[-1:] == us(1500)
    assert way[0].rest_s > 0.3


def test_a_move_takes_its_time_under_load() -> None:
    both = [settle_s(36, 0.12), settle_s(-2, 0.12)]

    assert both == pytest.approx(vector("settle_s"))


def test_a_window_widens_just_far_enough() -> None:
    window = Window(low_us=PulseUs(1300.0), high_us=PulseUs(1700.0))
    wider = window.over((PulseUs(1800.0), PulseUs(1500.0)))

    assert wider == Window(low_us=PulseUs(1300.0), high_us=PulseUs(1800.0))
    assert wider.holds(1800)
    assert not window.holds(1800)

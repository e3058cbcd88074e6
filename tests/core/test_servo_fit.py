"""What readings tell of one servo, against worked figures and against least squares."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.core.angles import Degrees, Side
from benchlink.core.servo_fit import REPEAT_SD_DEG, Reading, ServoFit, new_fit
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.units import PulseUs
from tests.core.making import FEW
from tests.core.vectors import vector

STRAIGHT = ServoPart(
    us_per_deg=10.0,
    slope_share=0.12,
    bend_deg=0.0,
    play_deg=0.0,
    play_spread_deg=0.0,
    turns=Turns.FORWARD,
)
JIG_SD = math.sqrt(0.25**2 - REPEAT_SD_DEG**2)
"""With what a servo adds, 0.25 deg in all."""
AFT, FORWARD = Side.FROM_AFT, Side.FROM_FORWARD


def read(*pairs: tuple[float, float], part: ServoPart = STRAIGHT) -> ServoFit:
    fit = new_fit(part, reader_sd_deg=JIG_SD)
    for pulse, angle in pairs:
        fit = fit.with_reading(seen(pulse, angle))
    return fit


def seen(pulse: float, angle: float, *, rising: bool = True) -> Reading:
    return Reading(pulse_us=PulseUs(pulse), rising=rising, angle_deg=Degrees(angle))


def figures(fit: ServoFit, angle: float) -> tuple[float, float, float, float]:
    """Angle at neutral, slope, the next pulse and the doubt there."""
    pulse = fit.pulse_for(angle, AFT)
    assert pulse is not None
    at_neutral = fit.at(1500, AFT).mean_deg
    return (
        at_neutral,
        fit.slope_deg_per_us,
        pulse.pulse_us,
        fit.at(pulse.pulse_us, AFT).sd_deg,
    )


def test_each_reading_sharpens_the_fit_as_worked_out() -> None:
    # The worked figures let the horn stand within 10 deg and the slope within 12 %.
    one = figures(read((1500, 6.3)), 0)
    two = figures(read((1500, 6.3), (1437, 0.5)), 0)
    three = figures(read((1500, 6.3), (1437, 0.5), (1432, -0.1)), 36)

    assert one == pytest.approx(vector("bayes_step1"), rel=1e-4)
    for found, name in ((two, "bayes_step2"), (three, "bayes_jump_to_36")):
        angle, slope, *rest = found
        assert [angle, slope * 1000, *rest] == pytest.approx(vector(name), rel=1e-4)


def test_the_interval_of_a_pulse_is_that_of_the_angle_over_the_slope() -> None:
    fit = read((1500, 6.3), (1437, 0.5))
    pulse = fit.pulse_for(0, AFT)

    assert pulse is not None
    width = fit.at(pulse.pulse_us, AFT).half_width_deg * abs(fit.us_per_deg)
    assert pulse.half_width_us == pytest.approx(width, rel=1e-6)
    assert pulse.nearest == PulseUs(1432.0)


BENT = ServoPart(bend_deg=0.5, turns=Turns.FORWARD)


@FEW
@given(
    angles=st.lists(st.floats(-20, 20), min_size=1, max_size=5),
    goal=st.floats(-30, 30),
    side=st.sampled_from(Side),
)
def test_the_pulse_for_an_angle_leads_to_that_angle(
    angles: list[float], goal: float, side: Side
) -> None:
    pairs = [(1500 + 8 * angle, angle) for angle in angles]
    fit = read(*pairs, part=BENT)
    pulse = fit.pulse_for(goal, side)

    assert pulse is None or fit.at(pulse.pulse_us, side).mean_deg == pytest.approx(goal)


@FEW
@given(order=st.permutations([(1500.0, 6.0), (1440.0, 0.2), (1700.0, 27.1)]))
def test_the_order_of_the_readings_does_not_matter(
    order: list[tuple[float, float]],
) -> None:
    fit, same = read(*order), read((1500, 6.0), (1440, 0.2), (1700, 27.1))

    assert fit.belief.mean == pytest.approx(same.belief.mean, abs=1e-9)
    assert fit.log_odds == pytest.approx(same.log_odds)


def test_no_reading_makes_the_doubt_larger() -> None:
    doubts = [read(*[(1500, 0.1)] * n).at(1510, AFT).sd_deg for n in range(6)]

    assert doubts == sorted(doubts, reverse=True)


def test_a_reversed_servo_is_found_out_against_its_sheet() -> None:
    fit = read((1500, 6.3), (1437, 12.5))

    assert fit.turns is Turns.AFT
    assert fit.us_per_deg == pytest.approx(-10, abs=0.5)


def test_readings_close_together_leave_the_way_of_turning_open() -> None:
    unsaid = ServoPart(turns=Turns.NOT_KNOWN)
    fit = read((1500, 0.3), (1503, 0.3), part=unsaid)

    assert fit.turns is Turns.NOT_KNOWN
    assert not fit.turns_guessed
    assert fit.watched(Turns.AFT).turns is Turns.AFT
    assert not fit.expects(seen(1503, 5), 4, either_way=True)


def test_what_was_watched_beats_what_was_told_only_after_a_second_look() -> None:
    once = new_fit(STRAIGHT).watched(Turns.AFT)

    assert once.slope_deg_per_us < 0
    assert once.turns is Turns.NOT_KNOWN
    assert once.watched(Turns.AFT).turns is Turns.AFT


def test_a_reading_far_from_what_is_foretold_widens_with_an_open_way() -> None:
    told = new_fit(STRAIGHT).with_reading(seen(1500, 0))
    open_way = new_fit(ServoPart(turns=Turns.NOT_KNOWN)).with_reading(seen(1500, 0))

    assert open_way.reading_at(1600, AFT).sd_deg > 9
    assert told.reading_at(1600, AFT).sd_deg < 4


def test_a_reversed_servo_explains_a_reading_only_while_that_is_open() -> None:
    first, turned = new_fit(STRAIGHT).with_reading(seen(1500, 6.3)), seen(1437, 12.5)
    sure = first.watched(Turns.FORWARD)

    assert first.expects(turned, 4, either_way=True)
    assert not first.expects(turned, 4, either_way=False)
    assert not sure.expects(turned, 4, either_way=True)


def test_play_is_what_both_sides_differ_by() -> None:
    fit = read((1500, 0.0), (1500, 0.0), part=ServoPart(turns=Turns.FORWARD))
    for _ in range(40):
        fit = fit.with_reading(seen(1500, 1.4, rising=False))

    assert fit.play.mean_deg == pytest.approx(1.4, abs=0.1)
    assert fit.at(1500, FORWARD).mean_deg == pytest.approx(1.4, abs=0.1)


def test_on_a_reversed_servo_a_longer_pulse_comes_from_forward() -> None:
    reverse = new_fit(ServoPart(turns=Turns.AFT))

    assert not reverse.rising(AFT)
    assert reverse.rising(FORWARD)


def test_a_moved_horn_keeps_the_slope_and_forgets_the_angle() -> None:
    fit = read((1400, -12.0), (1600, 12.0))
    moved = fit.with_horn_moved(14.4, 10.0)

    assert moved.slope_deg_per_us == fit.slope_deg_per_us
    assert moved.at(1500, AFT).mean_deg == pytest.approx(14.4, abs=0.1)
    assert moved.at(1500, AFT).sd_deg == pytest.approx(10.0, abs=0.1)
    assert moved.readings == ()


def test_forgetting_keeps_the_way_of_turning_alone() -> None:
    fresh = read((1500, 6.3), (1437, 12.5)).forgetting()

    assert fresh.turns is Turns.AFT
    assert fresh.at(1500, AFT).sd_deg == pytest.approx(10)


def test_an_angle_beyond_the_bend_has_no_pulse() -> None:
    fit = read((1400, -5.0), (1500, 0.0), (1600, 1.0), part=BENT)

    assert fit.pulse_for(80, AFT) is None


@FEW
@given(off=st.floats(-3, 3), tolerance=st.floats(0.1, 2))
def test_a_chance_is_a_chance(off: float, tolerance: float) -> None:
    chance = read((1500, 0.0)).chance_within(1500, AFT, off, tolerance)

    assert 0 <= chance <= 1

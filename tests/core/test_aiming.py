"""Which pulse next, and when it is good enough."""

from benchlink.core.aiming import (
    LIMIT_READINGS,
    MOST_READINGS,
    Aim,
    Found,
    Mark,
    OutOfReach,
    Scattered,
    TryAt,
    aim,
)
from benchlink.core.angles import UPRIGHT, Degrees, Side
from benchlink.core.servo_fit import Reading, ServoFit, new_fit
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.units import PulseUs

MARK = Mark(angle_deg=UPRIGHT, side=Side.FROM_AFT)
PART = ServoPart(turns=Turns.FORWARD)


def seen(pulse: float, angle: float, *, rising: bool = True) -> Reading:
    return Reading(pulse_us=PulseUs(pulse), rising=rising, angle_deg=Degrees(angle))


def aimed(*taken: Reading, part: ServoPart = PART, mark: Mark = MARK) -> Aim:
    return aim(fit_of(*taken, part=part), mark, taken)


def fit_of(*taken: Reading, part: ServoPart = PART) -> ServoFit:
    fit = new_fit(part)
    for reading in taken:
        fit = fit.with_reading(reading)
    return fit


UPRIGHT_AGAIN = (seen(1500, 0.1),) * 4


def test_agreeing_readings_at_the_place_are_enough() -> None:
    assert isinstance(aimed(*UPRIGHT_AGAIN), Found)


def test_too_few_are_not_enough() -> None:
    told = aimed(*UPRIGHT_AGAIN[:2])

    assert isinstance(told, TryAt)
    assert not told.checks


def test_a_sure_fit_still_needs_its_check() -> None:
    around = (seen(1440, -6.0), seen(1560, 6.0)) * 4
    told = aimed(*around)

    assert isinstance(told, TryAt)
    assert told.checks
    assert isinstance(aimed(*around, seen(told.pulse_us, 0.0)), Found)


def test_a_check_from_the_other_side_is_none() -> None:
    play = seen(1500, 0.9, rising=False)

    assert isinstance(aimed(*UPRIGHT_AGAIN, play), TryAt)


def test_readings_that_are_short_at_the_place_and_only_there_hold_it_up() -> None:
    stiff = ServoPart(turns=Turns.FORWARD, bend_deg=0.001)
    far = Mark(angle_deg=Degrees(36.0), side=Side.FROM_AFT)
    straight = (seen(1400, -10.0), seen(1500, 0.0), seen(1780, 28.0)) * 6
    short = (seen(1860, 35.0), seen(1863, 35.0), seen(1863, 35.0))
    fit = fit_of(*straight, *short, part=stiff)

    assert isinstance(aim(fit, far, short), TryAt)


def test_at_the_last_pulse_a_few_readings_tell_that_it_is_short() -> None:
    part = ServoPart(turns=Turns.FORWARD, longest_us=PulseUs(1800.0), bend_deg=0.001)
    far = Mark(angle_deg=Degrees(30.45), side=Side.FROM_AFT)
    base = (seen(1500, 0.0), seen(1700, 20.0)) * 3
    at_limit = (seen(1800, 30.0),) * LIMIT_READINGS

    few, enough = (
        aim(fit_of(*base, *taken, part=part), far, taken)
        for taken in (at_limit[:-1], at_limit)
    )

    assert isinstance(few, TryAt)
    assert isinstance(enough, OutOfReach)
    assert "at 1800 us" in str(enough)
    assert "30.0 deg forward" in str(enough)


def test_readings_that_never_agree_come_to_an_end() -> None:
    exact = Mark(angle_deg=UPRIGHT, side=Side.FROM_AFT, tolerance_deg=0.01)

    assert isinstance(aimed(*[seen(1500, 0.0)] * MOST_READINGS, mark=exact), Scattered)
    assert isinstance(aimed(*[seen(1500, 0.0)] * 9, mark=exact), TryAt)


def test_a_bend_that_never_gets_there_is_out_of_reach() -> None:
    bent = ServoPart(turns=Turns.FORWARD, bend_deg=0.5)
    taken = (seen(1400, -5.0), seen(1500, 0.0), seen(1600, 1.0))
    far = Mark(angle_deg=Degrees(80.0), side=Side.FROM_AFT)
    told = aimed(*taken, part=bent, mark=far)

    assert isinstance(told, OutOfReach)
    assert str(told) == "no pulse at all would get there"

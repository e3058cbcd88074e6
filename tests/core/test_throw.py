"""The ends of the throw, step by step, on an arm without noise."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.core import throw
from benchlink.core.angles import Degrees, Side, Way
from benchlink.core.approach import Window
from benchlink.core.bench_steps import (
    AskAgain,
    Event,
    Measure,
    Purpose,
    Refused,
    Seen,
    Watched,
    Widen,
)
from benchlink.core.servo_fit import Reading, ServoFit, new_fit
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.core.throw import Throw
from benchlink.core.throw_ends import Stops, Thrown, ThrowWanted
from benchlink.errors import MisuseError
from benchlink.units import PulseUs
from tests.core.making import FEW
from tests.core.plain_arm import Asked, PlainArm, measures, throw_it

CENTRE = PulseUs(1500.0)
NARROW = Window(low_us=PulseUs(1300.0), high_us=PulseUs(1700.0))


def fit_of(arm: PlainArm, part: ServoPart | None = None) -> ServoFit:
    """What centring leaves: three readings about the middle, and the way of turning."""
    turns = Turns.FORWARD if arm.us_per_deg > 0 else Turns.AFT
    fit = new_fit(part or ServoPart(turns=turns)).watched(turns)
    for pulse in (1470.0, 1500.0, 1505.0):
        shown = Degrees(arm.gear(pulse))
        rising = fit.rising(Side.FROM_AFT)
        fit = fit.with_reading(
            Reading(pulse_us=PulseUs(pulse), rising=rising, angle_deg=shown)
        )
    return fit


def begun(arm: PlainArm, wanted: ThrowWanted, part: ServoPart | None = None) -> Throw:
    fit = fit_of(arm, part)
    return throw.begin(fit, CENTRE, wanted, window=NARROW, at_us=CENTRE)


def both(size_deg: float, stops: Stops | None = None) -> ThrowWanted:
    return ThrowWanted(forward_deg=size_deg, aft_deg=size_deg, stops=stops or Stops())


def thrown(arm: PlainArm, wanted: ThrowWanted) -> tuple[Thrown, list[Asked]]:
    state, asked = throw_it(begun(arm, wanted), arm.answer)
    assert isinstance(state.action, Thrown), state.action
    return state.action, asked


def refused(
    arm: PlainArm, wanted: ThrowWanted, part: ServoPart | None = None
) -> Refused:
    state, _ = throw_it(begun(arm, wanted, part), arm.answer)
    assert isinstance(state.action, Refused), state.action
    return state.action


@FEW
@given(size=st.floats(8.6, 11.5), reverse=st.booleans(), play=st.floats(0, 1))
def test_both_ends_are_where_they_should_be(
    size: float, play: float, *, reverse: bool
) -> None:
    arm = PlainArm(us_per_deg=-size if reverse else size, play_deg=play)
    done, asked = thrown(arm, both(36.0))

    assert len(measures(asked)) <= 10
    for way in Way:
        end = done.end(way)
        # From the middle the arm lags by half of its play, which is read with it.
        reached = arm.gear(end.pulse_us) - way.sign * play / 2
        assert reached == pytest.approx(36 * way.sign, abs=0.5)


def test_most_of_the_way_is_read_first() -> None:
    _, asked = thrown(PlainArm(), both(36.0))
    for way in Way:
        first = next(m for m in measures(asked) if m.side.moving is way)
        assert first.purpose is Purpose.PART_WAY
        assert first.expected.mean_deg == pytest.approx(0.8 * 36 * way.sign, abs=1)


def test_no_detour_ever_goes_past_an_end() -> None:
    done, asked = thrown(PlainArm(), both(36.0))
    sent = [hop.pulse_us for m in measures(asked) for hop in m.route]

    assert max(sent) <= done.end(Way.FORWARD).pulse_us + 5
    assert min(sent) >= done.end(Way.AFT).pulse_us - 5


def test_the_window_is_widened_by_the_person_before_each_longer_move() -> None:
    arm = PlainArm()
    state, window = begun(arm, both(36.0)), NARROW
    while not isinstance(state.action, Thrown | Refused):
        if isinstance(state.action, Widen):
            window = state.action.window
        elif isinstance(state.action, Measure):
            assert all(window.holds(hop.pulse_us) for hop in state.action.route)
        state = throw.advance(state, arm.answer(state.action))

    assert window != NARROW


def test_a_throw_behind_a_known_stop_is_refused_without_a_move() -> None:
    arm = PlainArm(solid_deg=35)
    state, asked = throw_it(begun(arm, both(36.0, Stops(forward_deg=35.0))), arm.answer)

    assert asked == []
    assert isinstance(state.action, Refused)
    assert "behind the stop at 35.0 deg forward" in state.action.reason


@FEW
@given(stop=st.floats(36.8, 45), size=st.floats(7.5, 13))
def test_a_known_stop_is_never_touched(stop: float, size: float) -> None:
    arm, furthest = PlainArm(us_per_deg=size), [0.0]
    wanted = both(36.0, Stops(forward_deg=stop, aft_deg=stop))
    part = ServoPart(
        shortest_us=PulseUs(900.0),
        longest_us=PulseUs(2100.0),
        us_per_deg=size * 0.92,
        turns=Turns.FORWARD,
    )

    def answer(action: Asked) -> Event:
        event = arm.answer(action)
        furthest.append(abs(arm.now_deg))
        return event

    throw_it(begun(arm, wanted, part), answer)

    assert max(furthest) <= stop


def test_near_a_known_stop_a_nearer_pulse_is_read_first() -> None:
    arm, wanted = PlainArm(), both(36.0, Stops(forward_deg=37.0))
    # One reading leaves the slope open: most of the way might be all of it.
    upright = Reading(pulse_us=CENTRE, rising=True, angle_deg=Degrees(0.0))
    open_fit = new_fit(ServoPart(turns=Turns.FORWARD)).watched(Turns.FORWARD)
    fit = open_fit.with_reading(upright)
    start = throw.begin(fit, CENTRE, wanted, window=NARROW, at_us=CENTRE)
    state, asked = throw_it(start, arm.answer)
    forward = [m.expected.mean_deg for m in measures(asked) if m.rising]

    assert forward[0] < 0.8 * 36 - 1
    assert isinstance(state.action, Thrown)


def test_an_unknown_stop_that_makes_the_servo_hum_is_backed_off_at_once() -> None:
    arm = PlainArm(solid_deg=25)
    told = refused(arm, both(36.0))

    assert "something holds the arm at 25.0 deg forward" in told.reason
    assert told.back[0].pulse_us == arm.pulse_us - round(3 * fit_of(arm).us_per_deg)
    assert told.back[-1].pulse_us == CENTRE


def test_an_unknown_stop_that_nobody_hears_is_read_and_asked_about() -> None:
    arm = PlainArm(solid_deg=31)

    def deaf(action: Asked) -> Event:
        event = arm.answer(action)
        return Seen(angle_deg=event.angle_deg) if isinstance(event, Seen) else event

    state, asked = throw_it(begun(arm, both(36.0)), deaf)

    assert any(isinstance(action, AskAgain) for action in asked)
    assert isinstance(state.action, Refused)
    assert "something holds the arm at 31.0 deg forward" in state.action.reason


def test_an_arm_that_goes_further_than_the_sheet_explains_is_no_stop() -> None:
    arm, slack = PlainArm(), ServoPart(turns=Turns.FORWARD, slope_share=0.01)
    begin = begun(arm, both(36.0), slack)

    def far(action: Asked) -> Event:
        event = arm.answer(action)
        return Seen(angle_deg=Degrees(50)) if isinstance(event, Seen) else event

    state, _ = throw_it(begin, far)

    assert isinstance(state.action, Refused)
    assert "went to 50.0 deg forward" in state.action.reason


def test_a_range_too_short_is_refused_with_what_it_reaches() -> None:
    part = ServoPart(longest_us=PulseUs(1800.0), turns=Turns.FORWARD)
    told = refused(PlainArm(), both(36.0), part)

    assert "at 1800 us" in told.reason
    assert "deg forward" in told.reason
    assert told.back[-1].pulse_us == CENTRE


def test_without_the_way_of_turning_nothing_moves() -> None:
    fit = new_fit(ServoPart())
    state = throw.begin(fit, CENTRE, both(36.0), window=NARROW, at_us=CENTRE)

    assert isinstance(state.action, Refused)


def test_an_answer_to_something_else_is_our_own_mistake() -> None:
    with pytest.raises(MisuseError, match="Watched does not answer"):
        throw.advance(begun(PlainArm(), both(36.0)), Watched(way=None))


@FEW
@given(readings=st.lists(st.floats(-90, 90), max_size=40))
def test_no_readings_at_all_drive_it_out_of_range_or_on_for_ever(
    readings: list[float],
) -> None:
    arm, steps = PlainArm(), 0
    state = begun(arm, both(36.0))
    while not isinstance(state.action, Thrown | Refused) and steps < 100:
        if isinstance(state.action, Measure):
            assert all(1000 <= hop.pulse_us <= 2000 for hop in state.action.route)
        event = arm.answer(state.action)
        if isinstance(event, Seen) and readings:
            event = Seen(angle_deg=Degrees(readings.pop()))
        state, steps = throw.advance(state, event), steps + 1

    assert state.over

"""Centring, step by step, on an arm that stands exactly where it should."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.core import centring
from benchlink.core.angles import Degrees, Side, Way
from benchlink.core.bench_steps import (
    AskAgain,
    Event,
    HornMoved,
    Look,
    Measure,
    MoveHorn,
    Purpose,
    Refused,
    Seen,
    Watched,
    Widen,
)
from benchlink.core.centring_state import Centred, Wanted
from benchlink.core.play import PlayVerdict
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.errors import MisuseError
from benchlink.units import PulseUs
from tests.core.making import FEW
from tests.core.plain_arm import Asked, PlainArm, centre, measures, us

TOLD = ServoPart(turns=Turns.FORWARD)
AT = PulseUs(1500.0)


def centred(
    arm: PlainArm, part: ServoPart = TOLD, wanted: Wanted | None = None
) -> tuple[Centred, list[Asked]]:
    start = centring.begin(part, wanted or Wanted(), at_us=AT)
    state, asked = centre(start, arm.answer)
    assert isinstance(state.action, Centred), state.action
    arm.send(state.action.back)
    return state.action, asked


def refused(
    arm: PlainArm, part: ServoPart = TOLD, wanted: Wanted | None = None
) -> Refused:
    start = centring.begin(part, wanted or Wanted(), at_us=AT)
    state, _ = centre(start, arm.answer)
    assert isinstance(state.action, Refused), state.action
    return state.action


def test_a_few_readings_bring_the_arm_upright() -> None:
    arm = PlainArm(seat_deg=5.0)
    done, asked = centred(arm)

    assert done.pulse_us == pytest.approx(1450, abs=3)
    assert arm.now_deg == pytest.approx(0, abs=0.3)
    assert done.readings <= 4
    purposes = [measure.purpose for measure in measures(asked)]
    assert purposes[0] is Purpose.FIRST
    assert purposes[-2:] == [Purpose.PLAY] * 2


@FEW
@given(
    size=st.floats(8.6, 13.3),
    reverse=st.booleans(),
    seat=st.floats(-30, 30),
    play=st.floats(0, 2),
)
def test_whatever_the_servo_the_arm_ends_upright(
    size: float, seat: float, play: float, *, reverse: bool
) -> None:
    arm = PlainArm(us_per_deg=-size if reverse else size, seat_deg=seat, play_deg=play)
    part = ServoPart(turns=Turns.NOT_KNOWN)
    done, asked = centred(arm, part)

    assert arm.now_deg == pytest.approx(0, abs=0.5)
    assert done.fit.turns is (Turns.AFT if reverse else Turns.FORWARD)
    assert len(measures(asked)) <= 8


def test_every_reading_for_the_centre_comes_from_the_same_side() -> None:
    for side in Side:
        wanted = Wanted(side=side)
        _, asked = centred(PlainArm(seat_deg=4, play_deg=1), wanted=wanted)
        sides = {m.side for m in measures(asked) if m.purpose is not Purpose.PLAY}
        assert sides == {side}


def test_a_check_is_read_before_anything_is_accepted() -> None:
    done, asked = centred(PlainArm(seat_deg=5.0))
    last = [m for m in measures(asked) if m.purpose is not Purpose.PLAY][-1]

    assert abs(last.pulse_us - done.pulse_us) <= 5


def test_play_is_measured_from_both_sides_and_judged() -> None:
    done, _ = centred(PlainArm(play_deg=1.4))
    none, _ = centred(PlainArm(), wanted=Wanted(play_readings=0))

    assert done.play is not None
    assert done.play.size.mean_deg == pytest.approx(1.4, abs=0.2)
    assert done.play.verdict is PlayVerdict.WATCH
    assert none.play is None


def test_another_angle_than_upright_can_be_the_centre() -> None:
    arm = PlainArm()
    centred(arm, wanted=Wanted(angle_deg=Degrees(-4.0)))

    assert arm.now_deg == pytest.approx(-4, abs=0.3)


def test_an_unknown_way_of_turning_is_watched_before_the_jig_is_read() -> None:
    _, asked = centred(PlainArm(us_per_deg=-10), ServoPart())

    assert isinstance(asked[0], Look)
    assert isinstance(asked[1], Measure)


def test_a_sheet_that_no_reading_bears_out_is_checked_by_a_look() -> None:
    # Upright from the start, nothing tells the two ways of turning apart.
    done, asked = centred(PlainArm(us_per_deg=-10), TOLD)

    assert sum(isinstance(action, Look) for action in asked) == 2
    assert done.fit.turns is Turns.AFT


def test_a_servo_without_power_is_found_out_by_looking_further() -> None:
    arm = PlainArm(powered=False)
    start = centring.begin(ServoPart(), Wanted(), at_us=AT)
    state, asked = centre(start, arm.answer)
    far = tuple(a.route[-1].pulse_us for a in asked if isinstance(a, Look))

    assert far == us(1540, 1580, 1650)
    assert isinstance(state.action, Refused)
    assert "rail" in state.action.hint


def test_answers_that_contradict_each_other_for_ever_end_in_a_refusal() -> None:
    arm, ways = PlainArm(), [Way.FORWARD, Way.AFT] * 10

    def answer(action: Asked) -> Event:
        return (
            Watched(way=ways.pop()) if isinstance(action, Look) else arm.answer(action)
        )

    state, asked = centre(centring.begin(TOLD, Wanted(), at_us=AT), answer)

    assert sum(isinstance(action, Look) for action in asked) <= 6
    assert isinstance(state.action, Refused)
    assert "contradict" in state.action.reason


def test_a_badly_seated_horn_is_moved_by_teeth_and_trimmed_little() -> None:
    arm = PlainArm(seat_deg=17.0)
    done, asked = centred(arm)
    moves = [action.move for action in asked if isinstance(action, MoveHorn)]

    assert [(m.teeth, m.way.value) for m in moves] == [(1, "aft")]
    assert arm.seat_deg == pytest.approx(2.6)
    assert abs(done.trim_us) < 30
    assert done.remarks == ()


def test_a_horn_moved_the_wrong_way_is_noticed_and_moved_again() -> None:
    arm, wrong = PlainArm(seat_deg=17.0), [True]

    def answer(action: Asked) -> Event:
        if isinstance(action, MoveHorn) and wrong.pop():
            wrong.append(False)
            arm.seat_deg -= action.move.by_deg
            return HornMoved()
        if isinstance(action, MoveHorn):
            wrong.append(False)
        return arm.answer(action)

    state, asked = centre(centring.begin(TOLD, Wanted(), at_us=AT), answer)

    assert isinstance(state.action, Centred)
    assert "moved 14.4 deg forward" in state.action.remarks[0]
    assert sum(isinstance(action, MoveHorn) for action in asked) == 2


def test_a_horn_that_never_sits_ends_in_a_refusal() -> None:
    arm = PlainArm(seat_deg=17.0)

    def answer(action: Asked) -> Event:
        return HornMoved() if isinstance(action, MoveHorn) else arm.answer(action)

    state, _ = centre(centring.begin(TOLD, Wanted(), at_us=AT), answer)

    assert isinstance(state.action, Refused)
    assert "teeth" in state.action.hint


def test_a_throw_that_finds_no_pulses_is_refused_before_it_is_tried() -> None:
    known = ServoPart(turns=Turns.FORWARD, slope_share=0.03)
    told = refused(PlainArm(), known, Wanted(throw_deg=60.0))

    assert "60 deg forward then needs" in told.reason
    assert "1000 to 2000 us" in told.reason


def test_a_centre_far_from_neutral_gets_a_remark() -> None:
    done, _ = centred(PlainArm(seat_deg=7.0))

    assert done.remarks == ("the centre is 70 us away from neutral",)


def test_a_slip_of_the_pen_is_asked_again_and_does_no_harm() -> None:
    arm, count = PlainArm(seat_deg=5.0), [0]

    def answer(action: Asked) -> Event:
        event = arm.answer(action)
        count[0] += isinstance(action, Measure)
        if isinstance(action, Measure) and count[0] == 2 and isinstance(event, Seen):
            return Seen(angle_deg=Degrees(event.angle_deg + 12))
        return event

    state, asked = centre(centring.begin(TOLD, Wanted(), at_us=AT), answer)

    assert sum(isinstance(action, AskAgain) for action in asked) == 1
    assert isinstance(state.action, Centred)
    assert state.action.remarks == ()


def test_a_wrong_first_reading_is_set_aside_once_another_is_confirmed() -> None:
    arm, first = PlainArm(seat_deg=5.0, us_per_deg=9.0), [True]

    def answer(action: Asked) -> Event:
        event = arm.answer(action)
        if isinstance(event, Seen) and first:
            first.clear()
            return Seen(angle_deg=Degrees(-6.5))
        return event

    state, asked = centre(centring.begin(TOLD, Wanted(), at_us=AT), answer)

    assert any(isinstance(action, AskAgain) for action in asked)
    assert isinstance(state.action, Centred)
    assert "set aside" in state.action.remarks[0]
    arm.send(state.action.back)
    assert arm.now_deg == pytest.approx(0, abs=0.5)


def test_a_humming_servo_is_backed_off_at_once() -> None:
    arm = PlainArm(seat_deg=7.0, solid_deg=3.0)
    told = refused(arm)

    assert "3.0 deg forward" in told.reason
    assert [hop.pulse_us for hop in told.back] == [arm.pulse_us - 30]


def test_whatever_else_it_learns_a_doubtful_reading_is_asked_about_once_more() -> None:
    # A reversed servo explains it, a slip of the pen as well.
    _, asked = centred(PlainArm(us_per_deg=-10, seat_deg=5.0), TOLD)

    assert sum(isinstance(action, AskAgain) for action in asked) == 1


def test_nothing_leaves_the_window_before_it_was_widened() -> None:
    part = ServoPart(us_per_deg=25.0, turns=Turns.FORWARD, shortest_us=PulseUs(500.0))
    start = centring.begin(part, Wanted(), at_us=AT)
    arm = PlainArm(us_per_deg=25.0, seat_deg=7.0)
    window, state = start.arm.window, start
    widened = 0
    while not isinstance(state.action, Centred | Refused):
        if isinstance(state.action, Measure):
            assert all(window.holds(hop.pulse_us) for hop in state.action.route)
        if isinstance(state.action, Widen):
            window, widened = state.action.window, widened + 1
        state = centring.advance(state, arm.answer(state.action))

    assert widened > 0
    assert isinstance(state.action, Centred)


def test_an_answer_to_something_else_is_our_own_mistake() -> None:
    start = centring.begin(TOLD, Wanted(), at_us=AT)

    with pytest.raises(MisuseError, match="Watched does not answer Measure"):
        centring.advance(start, Watched(way=None))


@FEW
@given(readings=st.lists(st.floats(-90, 90), max_size=60), hums=st.booleans())
def test_no_readings_at_all_drive_it_out_of_range_or_on_for_ever(
    readings: list[float], *, hums: bool
) -> None:
    part = ServoPart(turns=Turns.NOT_KNOWN)
    state, steps = centring.begin(part, Wanted(), at_us=AT), 0
    arm = PlainArm()
    while not isinstance(state.action, Centred | Refused) and steps < 200:
        event = arm.answer(state.action)
        if isinstance(state.action, Measure):
            assert all(part.takes(hop.pulse_us) for hop in state.action.route)
        if isinstance(event, Seen) and readings:
            event = Seen(
                angle_deg=Degrees(readings.pop()), buzzes=hums and not readings
            )
        state, steps = centring.advance(state, event), steps + 1

    assert state.over

"""A motor runs while a key is held, and never by a paste."""

from collections.abc import Sequence
from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.core.key_repeat import KeyRepeat
from benchlink.core.spin_hold import (
    LONGEST_RUN,
    Act,
    End,
    Extend,
    Hold,
    Wait,
    pressed,
    quiet,
    rest_after,
)
from benchlink.errors import SafetyRefusalError
from benchlink.units import Seconds

REPEAT = KeyRepeat(
    first_delay=Seconds(0.4), period=Seconds(0.033), jitter=Seconds(0.002)
)
HOLD = Hold(motor="left", repeat=REPEAT, expiry=Seconds(0.6))


def play(gaps: Sequence[float], hold: Hold = HOLD) -> tuple[Hold, list[Act]]:
    """Keys with these gaps, until the hold ends."""
    acts: list[Act] = []
    for at in accumulate(gaps, initial=50.0):
        hold, act = pressed(hold, Seconds(at))
        acts.append(act)
        if isinstance(act, End):
            break
    return hold, acts


def runs(acts: list[Act]) -> list[Extend]:
    return [act for act in acts if isinstance(act, Extend)]


def test_a_press_alone_and_its_first_repeat_run_nothing() -> None:
    _, acts = play([0.4])
    assert acts == [Wait(), Wait()]


def test_a_held_key_runs_and_each_repeat_extends_by_a_fifth_of_a_second_at_most() -> (
    None
):
    hold, acts = play([0.4, *[0.033] * 30])
    found = runs(acts)
    assert len(found) >= 8
    assert all(0 < run.run_for <= 0.2 for run in found)
    assert 0.9 < hold.ran_for < 1.3


def test_orders_are_renewed_ten_times_a_second_at_most() -> None:
    _, acts = play([0.4, *[0.02] * 51])
    assert len(runs(acts)) <= 11


def test_letting_go_ends_it() -> None:
    hold, _ = play([0.4, *[0.033] * 10])
    last = hold.last_key
    assert last is not None
    assert quiet(hold, Seconds(last + 0.1)) == Wait()
    assert isinstance(quiet(hold, Seconds(last + 0.31)), End)


def test_a_missed_beat_is_borne_and_a_pause_is_not() -> None:
    _, acts = play([0.4, *[0.033] * 6, 0.1, *[0.033] * 3])
    assert not any(isinstance(act, End) for act in acts)
    _, acts = play([0.4, *[0.033] * 6, 0.25])
    assert isinstance(acts[-1], End)


def test_a_paste_while_it_runs_ends_it() -> None:
    _, acts = play([0.4, *[0.033] * 6, 0.004, *[0.033] * 6])
    assert acts[-1] == End(why="keys came faster than any keyboard repeats: a paste?")


def test_another_key_ends_it_at_once() -> None:
    hold, _ = play([0.4, *[0.033] * 6])
    _, act = pressed(hold, Seconds(60.0), same=False)
    assert isinstance(act, End)


def test_it_never_runs_longer_than_three_seconds() -> None:
    hold, acts = play([0.4, *[0.033] * 200])
    assert isinstance(acts[-1], End)
    assert "longest" in acts[-1].why
    assert hold.ran_for <= LONGEST_RUN + 0.2
    began = acts.index(runs(acts)[0])
    assert sum(0.033 for _ in acts[began:]) == pytest.approx(LONGEST_RUN, abs=0.1)


def test_the_last_order_does_not_reach_past_the_end() -> None:
    _, acts = play([0.4, *[0.033] * 200])
    assert 0 < runs(acts)[-1].run_for <= 0.2


def test_a_board_that_ends_motions_too_soon_is_not_held() -> None:
    with pytest.raises(SafetyRefusalError, match="too soon"):
        play(
            [0.4, *[0.033] * 5], Hold(motor="left", repeat=REPEAT, expiry=Seconds(0.2))
        )


def test_a_motor_rests_as_long_as_it_ran() -> None:
    assert rest_after(Seconds(2.5)) == 2.5
    assert rest_after(Seconds(0.2)) == 1.0


def test_before_it_began_a_long_silence_ends_it_too() -> None:
    hold, _ = play([])
    assert quiet(HOLD, Seconds(99.0)) == Wait()
    assert quiet(hold, Seconds(51.0)) == Wait()
    assert isinstance(quiet(hold, Seconds(52.0)), End)
    _, acts = play([2.0])
    assert isinstance(acts[-1], End)


@given(st.lists(st.floats(0.0, 0.0149), max_size=300))
def test_nothing_faster_than_a_keyboard_runs_a_motor(gaps: list[float]) -> None:
    assert not runs(play(gaps)[1])


@given(st.lists(st.floats(0.0, 0.6), max_size=60))
def test_whatever_the_keys_an_order_lasts_a_fifth_of_a_second_at_most(
    gaps: list[float],
) -> None:
    assert all(0 < run.run_for <= 0.2 for run in runs(play(gaps)[1]))

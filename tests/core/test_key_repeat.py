"""What a held key looks like, and what only looks like one."""

from collections.abc import Sequence
from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.core.key_repeat import KEYS, KeyRepeat, NoRepeat, measure
from benchlink.units import Seconds


def times(gaps: Sequence[float], start: float = 100.0) -> list[Seconds]:
    return [Seconds(at) for at in accumulate(gaps, initial=start)]


def held(first: float = 0.4, period: float = 0.033, count: int = KEYS) -> list[Seconds]:
    return times([first] + [period] * (count - 2))


@pytest.mark.parametrize(
    ("first", "period"), [(0.15, 0.02), (0.4, 0.033), (0.66, 0.04), (1.0, 0.12)]
)
def test_the_repeats_of_keyboards_are_known(first: float, period: float) -> None:
    found = measure(held(first, period))
    assert isinstance(found, KeyRepeat)
    assert found.first_delay == pytest.approx(first)
    assert found.period == pytest.approx(period)
    assert found.jitter == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("presses", "why"),
    [
        (held(count=KEYS - 1), "let go"),
        (times([0.0] * KEYS), "at once"),
        (times([0.4, *[0.033] * 9, 0.001]), "at once"),
        (times([0.005] * KEYS), "at once"),
        (times([0.03] * KEYS), "first repeat came after"),
        (times([0.13, *[0.1] * KEYS]), "no delay"),
        (held(period=0.3), "too slowly"),
        (held(first=3.0), "first repeat came after"),
        (times([0.4, *[0.033] * 9, 0.2]), "off their beat"),
    ],
)
def test_what_is_no_keyboard_is_told_apart(presses: list[Seconds], why: str) -> None:
    found = measure(presses)
    assert isinstance(found, NoRepeat)
    assert why in found.why


@given(st.lists(st.floats(0.0, 0.0149), min_size=KEYS - 1, max_size=200))
def test_nothing_that_comes_faster_than_a_keyboard_is_a_held_key(
    gaps: list[float],
) -> None:
    assert isinstance(measure(times(gaps)), NoRepeat)


@given(
    st.floats(0.15, 1.4),
    st.floats(0.02, 0.07),
    st.lists(st.floats(-0.005, 0.005), min_size=KEYS, max_size=40),
)
def test_a_keyboard_behind_a_slightly_shaky_line_is_still_one(
    first: float, period: float, shakes: list[float]
) -> None:
    found = measure(times([first, *(period + shake for shake in shakes)]))
    assert isinstance(found, KeyRepeat)
    assert found.fits(found.period)
    assert not found.fits(Seconds(0.01))
    assert not found.fits(Seconds(0.3))

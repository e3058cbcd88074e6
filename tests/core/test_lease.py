"""A lease lives on key events alone, and ends by itself."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.core.lease import LASTS, Lease, grant
from benchlink.errors import SafetyRefusalError
from benchlink.units import Seconds


def lease() -> Lease:
    return grant("left", Seconds(10.0), longest=Seconds(1.0), expiry=Seconds(0.4))


def test_without_a_key_it_ends_after_a_while() -> None:
    assert lease().alive(Seconds(10.0 + LASTS - 0.001))
    assert not lease().alive(Seconds(10.0 + LASTS))


def test_a_key_prolongs_it_from_when_it_was_pressed() -> None:
    held = lease().renew(Seconds(10.2), Seconds(10.25))
    assert held.until == pytest.approx(10.5)


def test_a_dead_lease_is_not_revived() -> None:
    late = lease().renew(Seconds(10.4), Seconds(10.4))
    assert not late.alive(Seconds(10.4))


def test_an_old_key_gives_no_life() -> None:
    """A frozen terminal hands over its keys late, in one go."""
    held = lease().renew(Seconds(10.02), Seconds(10.29))
    assert held.renewed == 10.0


def test_a_board_that_ends_too_soon_is_refused() -> None:
    with pytest.raises(SafetyRefusalError, match="too soon"):
        grant("left", Seconds(0.0), longest=Seconds(1.0), expiry=Seconds(0.2))


@given(st.lists(st.tuples(st.floats(0, 0.5), st.floats(0, 0.4)), max_size=60))
def test_it_never_outlives_its_end_nor_the_last_key(
    keys: list[tuple[float, float]],
) -> None:
    held, now, last = lease(), 10.0, 10.0
    for gap, age in keys:
        now += gap
        pressed = Seconds(now - age)
        before = held
        held = held.renew(pressed, Seconds(now))
        if held is not before:
            last = pressed
    assert held.until <= 11.0
    assert held.until <= last + LASTS + 1e-9

"""Readings weighed together: the majority is believed, doubt is never."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.core.copies import weigh
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.values import Number


def reading(strange: tuple[str, ...] = (), **values: int) -> Snapshot:
    settings = {
        name: Setting(name=name, value=Number(Decimal(value)), raw=str(value))
        for name, value in values.items()
    }
    return Snapshot(settings=settings, not_understood=strange)


def numbers(*copies: Snapshot, need: int = 3) -> dict[str, str] | None:
    found = weigh(copies, need).snapshot
    if found is None:
        return None
    return {n: str(s.value) for n, s in found.settings.items()}


def test_two_that_agree_are_enough_where_nothing_was_damaged() -> None:
    assert numbers(reading(a=1), reading(a=1), need=2) == {"a": "1"}


def test_two_that_differ_are_not() -> None:
    assert weigh((reading(a=1), reading(a=2)), 2).disputed == ("a",)


def test_a_wrong_value_is_outvoted() -> None:
    good = reading(a=1, b=2)
    assert numbers(good, reading(a=9, b=2), good, good) == {"a": "1", "b": "2"}


def test_a_tie_is_no_majority() -> None:
    one, two = reading(a=1), reading(a=2)
    assert numbers(one, one, one, two, two, two) is None


def test_a_damaged_name_is_not_believed() -> None:
    good = reading(a=1)
    assert numbers(good, reading(x=1), good, good) == {"a": "1"}


def test_damaged_readings_do_not_outvote_a_name_away() -> None:
    good, bad = reading(a=1, b=2), reading(("b ??",), a=1)
    assert numbers(good, good, bad, bad, bad) is None
    assert weigh((good, good, bad, bad, bad), 3).disputed == ("b",)
    assert numbers(good, good, bad, bad, bad, good) == {"a": "1", "b": "2"}


def test_a_name_seen_once_among_damaged_readings_needs_more_of_them() -> None:
    ghost = reading(("?",), a=1, x=1)
    bad = [reading((f"? {n}",), a=1) for n in range(5)]
    assert numbers(ghost, *bad[:4]) is None
    assert numbers(ghost, *bad) == {"a": "1"}


def test_the_same_lines_that_nobody_understands_are_no_damage() -> None:
    odd = reading(("later words",), a=1)
    assert weigh((odd, odd), 2).snapshot == odd


@pytest.mark.parametrize("copies", [(), (reading(a=1),)])
def test_too_few_readings_prove_nothing(copies: tuple[Snapshot, ...]) -> None:
    assert weigh(copies, 2).snapshot is None


@given(
    st.lists(
        st.dictionaries(st.sampled_from("abcd"), st.integers(0, 2), max_size=4),
        min_size=2,
        max_size=9,
    )
)
def test_every_value_believed_was_shown_often_enough(
    told: list[dict[str, int]],
) -> None:
    copies = [reading(("?",) if len(t) < 3 else (), **t) for t in told]
    for name, value in (numbers(*copies) or {}).items():
        assert sum(str(t.get(name)) == value for t in told) >= 3
    if numbers(*copies) is not None:
        for name in "abcd":
            seen = sum(name in t for t in told)
            assert seen < 2 or name in (numbers(*copies) or {})

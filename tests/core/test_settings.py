import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.core.settings import Snapshot, meaning, moved
from benchlink.core.values import Switch, Text, Unset, Value, Word
from tests.core.making import FEW, VALUES, num, series, setting, snapshot


@FEW
@given(VALUES, st.one_of(VALUES, st.none()))
def test_values_have_one_meaning_exactly_when_they_are_equal(
    first: Value, other: Value | None
) -> None:
    second = first if other is None else other
    assert (meaning(first) == meaning(second)) is (first == second)


@pytest.mark.parametrize(
    ("first", "second"),
    [("1.50", "1.5"), ("-0", "0"), ("-0.00", "0"), ("010", "10"), ("100", "100.0")],
)
def test_spellings_of_one_number_have_one_meaning(first: str, second: str) -> None:
    assert meaning(num(first)) == meaning(num(second))


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (num("1." + "0" * 40 + "1"), num("1")),
        (num("9" * 30), num("9" * 29 + "8")),
        (num("10"), num("1")),
        (num("5"), Word("5")),
        (Word("a"), Text("a")),
        (Switch(on=True), Word("on")),
        (Unset(), Word("unset")),
        (Unset(), Text("")),
        (series(Word("a,Word:b")), series(Word("a"), Word("b"))),
        (series(series()), series()),
        (series(num("1"), num("2")), series(num("12"))),
    ],
)
def test_different_values_never_share_a_meaning(first: Value, second: Value) -> None:
    assert meaning(first) != meaning(second)


def test_the_fingerprint_knows_neither_order_nor_spelling() -> None:
    first = snapshot(setting("a", num("1.50")), setting("b", Word("up")))
    second = snapshot(setting("b", Word("up")), setting("a", num("1.5")))
    assert first.fingerprint() == second.fingerprint()
    assert len(first.fingerprint()) == 64


@pytest.mark.parametrize(
    "other",
    [
        snapshot(setting("a", num("2"))),
        snapshot(setting("b", num("1"))),
        snapshot(setting("a", num("1")), setting("b", num("1"))),
        snapshot(setting("a", Word("1"))),
        snapshot(),
    ],
)
def test_any_other_board_has_another_fingerprint(other: Snapshot) -> None:
    assert snapshot(setting("a", num("1"))).fingerprint() != other.fingerprint()


def test_volatile_cells_count_for_nothing() -> None:
    first = snapshot(setting("a", num("1")), setting("up", num("3"), volatile=True))
    second = snapshot(setting("a", num("1")), setting("up", num("4"), volatile=True))
    without = snapshot(setting("a", num("1")))
    assert first.fingerprint() == second.fingerprint() == without.fingerprint()
    assert moved(first, second) == moved(first, without) == moved(without, first) == ()


def test_moved_names_what_changed_appeared_or_went_away() -> None:
    before = snapshot(
        setting("same", num("1.50")),
        setting("changed", num("1")),
        setting("gone", num("1")),
    )
    after = snapshot(
        setting("same", num("1.5")),
        setting("new", num("1")),
        setting("changed", num("2")),
    )
    assert moved(before, after) == ("changed", "gone", "new")


def test_a_listing_is_complete_when_every_line_was_understood() -> None:
    assert Snapshot(settings={}).complete
    assert not Snapshot(settings={}, not_understood=("radio: up",)).complete

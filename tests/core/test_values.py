from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.core.document import Node, Table
from benchlink.core.intent import NO_TOLERANCE
from benchlink.core.values import (
    Switch,
    Text,
    Unset,
    Value,
    Word,
    as_kind_of,
    decimal_or_none,
    within,
)
from tests.core.making import FEW, HERE, VALUES, items, num, series, written

NOTHING = Table((), HERE)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("010", "10"),
        ("1.50", "1.5"),
        ("+5", "5"),
        ("-0", "0"),
        (".5", "0.5"),
        ("5.", "5"),
        ("9" * 50, "9" * 50),
    ],
)
def test_plain_notation_is_a_number_in_tens(text: str, value: str) -> None:
    assert decimal_or_none(text) == Decimal(value)


@pytest.mark.parametrize(
    "text",
    ["", "1e3", "nan", "Infinity", "1_000", "1,5", "0x10", "\u0663", " 5", "--5", "."],
)
def test_any_other_notation_is_no_number(text: str) -> None:
    assert decimal_or_none(text) is None


@pytest.mark.parametrize(
    ("live", "given", "value"),
    [
        (Switch(on=False), written("on"), Switch(on=True)),
        (Switch(on=True), written("off"), Switch(on=False)),
        (Word("up"), written("on"), Word("on")),
        (Text("a"), written("on"), Text("on")),
        (Text("a"), written("010"), Text("010")),
        (Text("a"), written("", quoted=True), Text("")),
        (num("1"), written("010"), num("10")),
        (num("1"), written("1.50"), num("1.5")),
        (Word("5x"), written("010"), Word("010")),
        (series(num("1")), items("2", "3"), series(num("2"), num("3"))),
        (series(), items("a"), series(Word("a"))),
        (Switch(on=True), written("unset"), Unset()),
        (num("1"), written("unset"), Unset()),
        (Text("a"), written("unset"), Unset()),
        (series(num("1")), written("unset"), Unset()),
        (Text("a"), written("unset", quoted=True), Text("unset")),
        (Word("a"), written("unset", quoted=True), Word("unset")),
        (Unset(), written("on"), Switch(on=True)),
        (Unset(), written("010"), num("10")),
        (Unset(), written("010", quoted=True), Text("010")),
        (Unset(), written("up"), Word("up")),
        (Unset(), written("unset"), Unset()),
        (Unset(), items("1", "up"), series(num("1"), Word("up"))),
        (
            series(Switch(on=True), num("1"), Word("up")),
            items("off", "010", "on", "5"),
            series(Switch(on=False), num("10"), Word("on"), Word("5")),
        ),
    ],
)
def test_the_board_decides_what_kind_a_written_value_is(
    live: Value, given: Node, value: Value
) -> None:
    assert as_kind_of(live, given) == value


@pytest.mark.parametrize(
    ("live", "given", "words"),
    [
        (Switch(on=True), written("yes"), "must be on or off, not 'yes'"),
        (Switch(on=True), written("on", quoted=True), "must be on or off"),
        (num("1"), written("fast"), "must be a number, not 'fast'"),
        (num("1"), written("5", quoted=True), "must be a number"),
        (num("1"), written("1e3"), "must be a number"),
        (num("1"), items("1"), "must be a number, not a list"),
        (Word("up"), written(""), "must be a word"),
        (Text("a"), NOTHING, "must be text, not a table of keys"),
        (series(num("1")), written("1"), r"must be a list like \[1\], not the text"),
        (series(num("1")), items("x"), "must be a number, not 'x'"),
        (Unset(), NOTHING, "must be a value, not a table of keys"),
    ],
)
def test_a_value_of_another_kind_says_what_it_must_be(
    live: Value, given: Node, words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        as_kind_of(live, given)


def test_kinds_never_equal_each_other() -> None:
    assert num("1.50") == num("1.5")
    different: list[Value] = [
        Text("5"),
        num("5"),
        Word("5"),
        series(num("5")),
        Switch(on=True),
        Word("on"),
        Text("on"),
        Unset(),
        Word("unset"),
        Text("unset"),
    ]
    assert all(a != b for a in different for b in different if a is not b)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (num("1.50"), "1.50"),
        (num("0.00000001"), "0.00000001"),
        (Switch(on=True), "on"),
        (Word("up"), "up"),
        (Text("a b"), '"a b"'),
        (Unset(), "unset"),
        (series(num("1"), Switch(on=False)), "[1, off]"),
    ],
)
def test_a_value_shows_in_our_own_notation(value: Value, text: str) -> None:
    assert str(value) == text


@pytest.mark.parametrize(
    ("now", "wanted", "tolerance", "near"),
    [
        (num("10"), num("10.5"), "0.5", True),
        (num("10"), num("9.5"), "0.5", True),
        (num("10"), num("10.51"), "0.5", False),
        (series(num("1"), num("2")), series(num("1.5"), num("2")), "0.5", True),
        (series(num("1"), num("2")), series(num("1"), num("3")), "0.5", False),
        (series(num("1")), series(num("1"), num("1")), "9", False),
        (Word("a"), Word("b"), "9", False),
        (num("5"), Word("5"), "9", False),
        (num("0"), Unset(), "9", False),
        (Unset(), Unset(), "0", True),
        (series(Word("a")), series(Word("a")), "0", True),
    ],
)
def test_tolerance_is_for_numbers_alone(
    now: Value, wanted: Value, tolerance: str, *, near: bool
) -> None:
    assert within(now, wanted, Decimal(tolerance)) is near


@FEW
@given(VALUES, st.one_of(VALUES, st.none()))
def test_without_tolerance_being_within_is_being_equal(
    first: Value, other: Value | None
) -> None:
    second = first if other is None else other
    assert within(first, second, NO_TOLERANCE) is (first == second)

from dataclasses import replace

import pytest

from benchlink.faces.screen.frame.marks import MARKS, Mark
from benchlink.faces.screen.threads.rows import Row, Use
from benchlink.faces.screen.threads.values_facts import ValuesFacts
from benchlink.faces.screen.values.choices import (
    NO_AIRCRAFT,
    NOTHING_TO_WRITE,
    Choices,
    Order,
    apply_order,
    counted,
    no_mark,
    waive_order,
)
from tests.faces.screen.values_bench import lw03_facts, row

ONE, OTHER, MISSING = row("one"), row("other"), row("gone", Mark.MISSING, Use.BLOCKS)
SAME = row("same", Mark.AS_INTENDED, Use.NOTHING)


def facts_of(*rows: Row) -> ValuesFacts:
    return replace(lw03_facts(), rows=rows)


def by_mark(mark: Mark) -> Row:
    return next(r for r in lw03_facts().rows if r.mark is mark)


def test_all_that_differ_begin_as_apply() -> None:
    words = [Choices().word(r) for r in (ONE, MISSING, SAME)]
    assert words == ["apply", "block", ""]
    assert counted((ONE, OTHER, MISSING, SAME), Choices()) == (
        "apply 2, leave 0, block 1"
    )
    assert counted((SAME,), Choices()) == ""


def test_a_mark_turns_and_turns_back() -> None:
    once = Choices().turned((ONE,))
    assert once.word(ONE) == "leave"
    assert once.turned((ONE,)) == Choices()


def test_of_several_all_are_left_first_and_none_then() -> None:
    mixed = Choices().turned((ONE,)).turned((ONE, OTHER, SAME))
    assert mixed.left == {"one", "other"}
    assert mixed.turned((ONE, OTHER)) == Choices()


def test_an_apply_names_the_profile_and_all_that_is_left_in_the_order_of_the_rows() -> (
    None
):
    facts = replace(facts_of(OTHER, ONE, MISSING), profile="lw.yaml")
    order = apply_order(facts, Choices(frozenset({"gone", "other", "elsewhere"})))
    assert order == Order(
        title="Apply",
        words=("apply", "lw.yaml", "--leave", "other", "--leave", "gone"),
    )


def test_against_the_aircrafts_own_layers_no_profile_is_named() -> None:
    assert apply_order(facts_of(ONE), Choices()) == Order(
        title="Apply", words=("apply",)
    )


@pytest.mark.parametrize(
    ("facts", "left", "said"),
    [
        (facts_of(ONE), {"one"}, "no row is marked apply"),
        (facts_of(SAME), set(), NOTHING_TO_WRITE),
        (facts_of(ONE, MISSING), set(), "1 marked block cannot be written"),
        (replace(facts_of(ONE), compared=False), set(), "against no profile"),
        (replace(facts_of(ONE), unfinished=True), set(), "a change is unfinished"),
    ],
)
def test_where_there_is_nothing_to_apply_it_is_said(
    facts: ValuesFacts, left: set[str], said: str
) -> None:
    told = apply_order(facts, Choices(frozenset(left)))
    assert isinstance(told, str)
    assert said in told
    assert len(told) <= 78 - len(" row 5000 of 5000")


@pytest.mark.parametrize(
    ("mark", "words"),
    [
        (Mark.DIFFERS, ("waive", "tilt.left.centre_us")),
        (Mark.MISSING, ("waive", "tilt.nose.centre_us")),
        (Mark.WAIVED, ("waive", "mount.yaw_deg", "--lift")),
    ],
)
def test_a_waiver_is_given_or_lifted(mark: Mark, words: tuple[str, ...]) -> None:
    order = waive_order(lw03_facts(), by_mark(mark))
    assert isinstance(order, Order)
    assert order.words == words


@pytest.mark.parametrize(
    ("mark", "said"),
    [
        (Mark.IMPOSSIBLE, "no waiver helps a mistake"),
        (Mark.AS_INTENDED, "nothing to waive"),
        (Mark.LEFT_ALONE, "nothing to waive"),
    ],
)
def test_a_waiver_that_makes_no_sense_is_refused(mark: Mark, said: str) -> None:
    told = waive_order(lw03_facts(), by_mark(mark))
    assert isinstance(told, str)
    assert said in told


@pytest.mark.parametrize("mark", [Mark.DIFFERS, Mark.WAIVED])
def test_without_an_aircraft_nothing_can_be_waived(mark: Mark) -> None:
    facts = replace(lw03_facts(), tail="")
    assert waive_order(facts, by_mark(mark)) == NO_AIRCRAFT


def test_every_row_without_a_mark_says_why() -> None:
    unmarked = [m for m in MARKS if m not in {Mark.DIFFERS, Mark.MISSING}]
    for mark in unmarked:
        if mark is not Mark.IMPOSSIBLE:
            assert no_mark(row("tilt.left", mark, Use.NOTHING))

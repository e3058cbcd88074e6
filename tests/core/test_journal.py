"""The life of a change: which mark follows which, and what the marks tell."""

from itertools import pairwise

import pytest

from benchlink.core.journal import FOLLOWS, OPEN, Mark, Step, Story
from benchlink.errors import MisuseError

WHOLE = (Mark.WRITING, Mark.PROVEN, Mark.KEEPING, Mark.RESTARTING, Mark.SETTLED)


def story(*marks: Mark, stage: int = 1) -> Story:
    told = Story()
    for mark in marks:
        told = told.then(Step(mark, stage))
    return told


def test_a_change_that_comes_out_right_is_closed() -> None:
    assert not story(*WHOLE, Mark.DONE).open


@pytest.mark.parametrize("closed", [Mark.DONE, Mark.UNDONE, Mark.GIVEN_UP])
def test_nothing_follows_the_end(closed: Mark) -> None:
    assert FOLLOWS[closed] == frozenset()


@pytest.mark.parametrize("mark", sorted(OPEN, key=str))
def test_from_every_open_state_one_may_begin_again_turn_back_or_give_up(
    mark: Mark,
) -> None:
    assert {Mark.WRITING, Mark.UNDOING, Mark.GIVEN_UP} <= FOLLOWS[mark]


def test_nothing_is_done_that_was_not_proven() -> None:
    assert [m for m in Mark if Mark.DONE in FOLLOWS[m]] == [Mark.SETTLED]
    assert [m for m in Mark if Mark.UNDONE in FOLLOWS[m]] == [Mark.UNDOING]


def test_a_mark_that_cannot_follow_is_our_own_mistake() -> None:
    with pytest.raises(MisuseError, match="DONE cannot follow WRITING"):
        story(Mark.WRITING, Mark.DONE)


def test_only_from_the_keep_on_may_values_be_kept() -> None:
    assert not story(Mark.WRITING, Mark.PROVEN, Mark.UNDOING).may_be_kept
    assert story(Mark.WRITING, Mark.PROVEN, Mark.KEEPING).may_be_kept


def test_putting_back_stays_putting_back_through_its_own_keep() -> None:
    assert story(*WHOLE[:4], Mark.UNDOING, Mark.KEEPING, Mark.RESTARTING).undoing
    assert not story(*WHOLE[:4], Mark.UNDOING, Mark.WRITING).undoing


def test_a_stage_that_is_written_again_is_not_settled() -> None:
    assert story(*WHOLE).settled == {1}
    assert story(*WHOLE, Mark.WRITING).settled == frozenset()
    assert story(*WHOLE, Mark.UNDOING).settled == frozenset()


def test_every_mark_can_be_reached() -> None:
    reached, ahead = {Mark.READY}, [Mark.READY]
    while ahead:
        new = FOLLOWS[ahead.pop()] - reached
        reached |= new
        ahead += new
    assert reached == set(Mark)
    assert all(b in FOLLOWS[a] for a, b in pairwise((Mark.READY, *WHOLE, Mark.DONE)))

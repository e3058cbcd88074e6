"""A change that needs a restart in the middle: stage by stage, and back over all."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from benchlink.console.grammar import Grammar
from benchlink.core.journal import Mark
from benchlink.errors import RefusedError, UsageError
from benchlink.units import Seconds
from benchlink.workflows.apply import apply
from benchlink.workflows.carrying import Course
from benchlink.workflows.finishing import Desk, of_this_board, put_back, resume
from benchlink.workflows.planning import Prepared, prepare
from benchlink.workflows.session import Session, meet
from mocks.quantities import RefusalError
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import (
    STAMP,
    live,
    virtual_board,
    wader,
    wanting,
    words_sent,
)
from tests.support.virtual_board import VirtualBoard

WANTED = {"craft.call": '"reed"', "pack.capacity_mah": "1800"}


class Killed(BaseException):
    """The process is gone."""


def met(board: VirtualBoard) -> Session:
    """A board whose name has to be kept and loaded before the rest is written."""
    return meet(board, Grammar(replace(wader(), restart_first=("craft.*",))))


def prepared(board: VirtualBoard) -> Prepared:
    return prepare(met(board), ScriptedPerson(), wanting(WANTED))


def killed_at(mark: Mark, nth: int) -> Callable[[Mark], None]:
    seen: list[Mark] = []

    def at(now: Mark) -> None:
        seen.append(now)
        if now is mark and seen.count(mark) == nth:
            raise Killed

    return at


def desk(shelf: Shelf) -> Desk:
    return Desk(records=shelf, journals=shelf.journals, stamp=STAMP, agreed=True)


def test_the_first_stage_is_kept_and_proven_before_the_second_begins() -> None:
    board, shelf = virtual_board(), Shelf()
    apply(prepared(board), ScriptedPerson(), shelf.shelves, STAMP, agreed=True)
    told = words_sent(board, "let", "keep", "restart")
    assert [line.split(" ")[0] for line in told] == ["let", "keep", "restart"] * 2
    assert told[0].startswith("let craft.call")
    kept = board.device.aircraft.kept()
    assert (kept["craft.call"], kept["pack.capacity_mah"]) == ('"reed"', "1800")
    assert shelf.journals.state is Mark.DONE


def test_a_change_without_anything_that_depends_has_one_stage() -> None:
    board = virtual_board()
    only = prepare(met(board), ScriptedPerson(), wanting({"craft.call": '"reed"'}))
    assert {change.stage for change in only.plan.changes} == {1}


def test_a_refusal_in_the_second_stage_takes_the_first_one_back() -> None:
    board, shelf = virtual_board(), Shelf()
    before, kept = live(board), board.device.aircraft.kept()
    refusing(board, nth=2)
    with pytest.raises(RefusedError) as caught:
        apply(prepared(board), ScriptedPerson(), shelf.shelves, STAMP, agreed=True)
    assert "Every old value is back, kept" in caught.value.hint
    assert live(board) == before
    assert board.device.aircraft.kept() == kept
    assert shelf.journals.state is Mark.UNDONE


def refusing(board: VirtualBoard, nth: int) -> None:
    """The nth keep fails; those after it work again."""
    aircraft, calls = board.device.aircraft, list[int]()
    keep = aircraft.keep

    def failing() -> int:
        calls.append(1)
        if len(calls) == nth:
            msg = "the store is busy"
            raise RefusalError(msg)
        return keep()

    aircraft.keep = failing  # type: ignore[method-assign]


@pytest.mark.parametrize("nth", [1, 2])
@pytest.mark.parametrize(
    "mark", [Mark.WRITING, Mark.PROVEN, Mark.KEEPING, Mark.RESTARTING, Mark.SETTLED]
)
@pytest.mark.parametrize("finishes", [True, False])
def test_killed_in_any_stage_it_is_finished_or_undone(
    mark: Mark, nth: int, *, finishes: bool
) -> None:
    board, shelf = virtual_board(), Shelf()
    before = live(board)
    shelf.journals.at = killed_at(mark, nth)
    with pytest.raises(Killed):
        apply(prepared(board), ScriptedPerson(), shelf.shelves, STAMP, agreed=True)
    shelf.journals.at = lambda _: None
    session = met(board)
    (found,) = of_this_board(session.identity, shelf.journals.unfinished())
    kept = board.device.aircraft.kept
    if finishes:
        resume(session, ScriptedPerson(), found, desk(shelf))
        assert (live(board)["craft.call"], kept()["craft.call"]) == ('"reed"', '"reed"')
        assert kept()["pack.capacity_mah"] == "1800"
    else:
        put_back(session, ScriptedPerson(), found, desk(shelf))
        assert live(board) == before
        assert kept()["craft.call"] == before["craft.call"]
        assert kept()["pack.capacity_mah"] == "1550"


def test_it_cannot_be_tried_out_unkept() -> None:
    board, shelf = virtual_board(), Shelf()
    with pytest.raises(UsageError, match="cannot be tried out"):
        apply(
            prepared(board),
            ScriptedPerson(),
            shelf.shelves,
            STAMP,
            agreed=True,
            course=Course(try_for=Seconds(60)),
        )
    assert shelf.journals.papers == []
    assert not words_sent(board, "let")

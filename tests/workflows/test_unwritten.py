"""A board that gets out of reach before the first byte of a change, and after it."""

import pytest

from benchlink.errors import LinkError, MismatchError, SilentBoardError, UnansweredError
from benchlink.workflows.apply import apply
from benchlink.workflows.planning import prepare
from benchlink.workflows.unwritten import NOTHING, NOTHING_MORE, unwritten
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import (
    STAMP,
    meet_wader,
    virtual_board,
    wanting,
    words_sent,
)
from tests.support.virtual_board import VirtualBoard


def lose(board: VirtualBoard) -> None:
    def gone(*_: object) -> None:
        msg = "the cable is out"
        raise LinkError(msg, hint="Plug it in again.")

    board.ask = gone  # type: ignore[method-assign,assignment]


def test_a_cable_that_is_out_while_the_plan_is_made_leaves_nothing_written() -> None:
    board = virtual_board()
    session = meet_wader(board)
    lose(board)
    with pytest.raises(LinkError) as caught:
        prepare(session, ScriptedPerson(), wanting({"craft.call": '"reed"'}))
    assert caught.value.hint == "Plug it in again. Nothing was written."


def test_neither_does_one_that_falls_out_while_the_plan_is_looked_at() -> None:
    board, shelf = virtual_board(), Shelf()
    prepared = prepare(
        meet_wader(board), ScriptedPerson(), wanting({"craft.call": '"reed"'})
    )
    lose(board)
    with pytest.raises(LinkError) as caught:
        apply(prepared, ScriptedPerson(), shelf.shelves, STAMP, agreed=True)
    assert caught.value.hint == "Plug it in again. Nothing was written."
    assert not words_sent(board, "let")
    assert shelf.journals.papers == []


@pytest.mark.parametrize(
    ("error", "hint"),
    [
        (LinkError("x"), NOTHING),
        (UnansweredError("x", hint="Try again."), f"Try again. {NOTHING}"),
        (SilentBoardError("x", hint="Nothing was changed."), "Nothing was changed."),
        (MismatchError("x", hint="Make a new plan."), "Make a new plan."),
    ],
)
def test_only_what_does_not_say_so_itself_is_told(
    error: LinkError | UnansweredError | MismatchError, hint: str
) -> None:
    with pytest.raises(type(error)), unwritten():
        raise error
    assert error.hint == hint


def test_what_goes_on_with_a_change_says_that_nothing_more_was_written() -> None:
    error = LinkError("the cable is out")
    with pytest.raises(LinkError), unwritten(NOTHING_MORE):
        raise error
    assert error.hint == "Nothing more was written."

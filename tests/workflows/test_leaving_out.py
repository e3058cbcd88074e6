"""What cannot be brought about: left out where that was asked for, told by owner if not."""

import pytest

from benchlink.core.difference import State
from benchlink.core.intent import Intent, Owner
from benchlink.core.refusal import NotTakenError
from benchlink.core.tally import tally
from benchlink.errors import FileError, MismatchError
from benchlink.store.backups import intent_from_backup
from benchlink.workflows.apply import Applied, apply
from benchlink.workflows.backup import back_up
from benchlink.workflows.planning import Prepared, prepare
from mocks.options import Options
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import (
    STAMP,
    live,
    meet_wader,
    virtual_board,
    wanting,
    words_sent,
)
from tests.support.virtual_board import VirtualBoard

WRITING = ("let", "keep", "forget", "restart", "start")


def leaving_out(board: VirtualBoard, intent: Intent) -> Prepared:
    return prepare(meet_wader(board), ScriptedPerson(), intent, leave_out=True)


def carried_out(prepared: Prepared) -> Applied:
    return apply(prepared, ScriptedPerson(), Shelf().shelves, STAMP, agreed=True)


def test_a_value_that_the_console_cannot_be_told_is_left_out_by_name() -> None:
    board = virtual_board(Options(settings=200))
    intent = wanting({"craft.remark": '"a; b"', "pack.cells": "4", "steady.on": "off"})
    prepared = leaving_out(board, intent)
    assert [f.name for f in prepared.left_out] == ["craft.remark"]
    assert "';'" in prepared.left_out[0].trouble
    remark = live(board)["craft.remark"]
    carried_out(prepared)
    kept = board.device.aircraft.kept()
    assert (kept["steady.on"], kept["craft.remark"]) == ("no", remark)


def test_what_the_board_does_not_have_or_cannot_hold_is_left_out_too() -> None:
    intent = wanting({"reed.height": "1", "pack.cells": "many", "steady.on": "off"})
    prepared = leaving_out(virtual_board(), intent)
    assert {f.name: f.state for f in prepared.left_out} == {
        "reed.height": State.MISSING,
        "pack.cells": State.IMPOSSIBLE,
    }
    assert [c.name for c in prepared.plan.changes] == ["steady.on"]


def test_nothing_is_left_out_unless_that_was_asked_for() -> None:
    board = virtual_board(Options(settings=200))
    session, person = meet_wader(board), ScriptedPerson()
    with pytest.raises(FileError, match="cannot be sent"):
        prepare(session, person, wanting({"craft.remark": '"a; b"'}))
    with pytest.raises(MismatchError, match="one setting cannot"):
        prepare(session, person, wanting({"reed.height": "1"}))


def test_an_unspeakable_value_that_the_board_still_holds_is_no_trouble() -> None:
    board = virtual_board(Options(settings=200))
    shelf = Shelf()
    kept = back_up(meet_wader(board), ScriptedPerson(), shelf, STAMP)
    prepared = leaving_out(
        board, intent_from_backup(kept.backup, kept.path, same_board=True)
    )
    assert prepared.left_out == ()
    assert prepared.plan.changes == ()


def test_the_rest_of_a_backup_is_put_back_around_a_value_that_cannot_be() -> None:
    board = virtual_board(Options(settings=200))
    session, person = meet_wader(board), ScriptedPerson()
    backup = back_up(session, person, Shelf(), STAMP).backup
    before = live(board)
    carried_out(
        prepare(
            session,
            person,
            wanting({"craft.remark": '"x"', "pack.capacity_mah": "1800"}),
        )
    )
    prepared = leaving_out(board, intent_from_backup(backup, "x", same_board=True))
    assert [f.name for f in prepared.left_out] == ["craft.remark"]
    carried_out(prepared)
    assert live(board) == {**before, "craft.remark": '"x"'}


def test_a_refused_value_is_told_with_the_boards_words() -> None:
    board = virtual_board()
    intent = wanting({"steady.on": "off", "pack.cells": "99"})
    before = live(board)
    with pytest.raises(NotTakenError) as caught:
        carried_out(prepare(meet_wader(board), ScriptedPerson(), intent))
    difference = caught.value.difference
    (refused,) = difference.of(State.REFUSED)
    assert refused.name == "pack.cells"
    assert "99" in refused.trouble
    assert [f.name for f in difference.of(State.DIFFERS)] == ["steady.on"]
    assert tally(difference).of(Owner.BASELINE, State.REFUSED) == 1
    assert live(board) == before
    assert "keep" not in words_sent(board, *WRITING)


def test_a_value_that_was_only_limited_is_not_called_refused() -> None:
    board = virtual_board()
    intent = wanting({"radio.failsafe.throttle_us": "2205"})
    with pytest.raises(NotTakenError) as caught:
        carried_out(prepare(meet_wader(board), ScriptedPerson(), intent))
    (finding,) = caught.value.difference.of(State.DIFFERS)
    assert "asked for 2205, the board holds 2200" in finding.trouble
    assert caught.value.difference.of(State.REFUSED) == ()

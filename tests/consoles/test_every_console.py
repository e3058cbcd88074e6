"""What every described console must do: meet, read, back up, change, put back."""

from dataclasses import replace

import pytest

from benchlink.console.grammar import Grammar
from benchlink.console.lanes import Lane
from benchlink.core.difference import compare
from benchlink.core.exchange import Verdict
from benchlink.core.settings import moved
from benchlink.errors import MismatchError
from benchlink.store.backup_reader import parse
from benchlink.store.backup_text import render
from benchlink.store.backups import intent_from_backup
from benchlink.workflows.apply import apply
from benchlink.workflows.backup import back_up
from benchlink.workflows.compare import compare_board
from benchlink.workflows.planning import prepare
from benchlink.workflows.read import read_settled
from benchlink.workflows.say import say
from tests.consoles.consoles import (
    CASES,
    Case,
    board_of,
    carry_out,
    described,
    kept,
    meet_board,
    shown,
)
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import STAMP, wanting

every_console = pytest.mark.parametrize("case", CASES, ids=str)


@every_console
def test_the_board_says_who_it_is_and_that_it_rests(case: Case) -> None:
    session = meet_board(case, board_of(case))
    assert session.identity.board_type == case.kind.value
    assert session.identity.number
    assert session.readiness is not None
    assert not session.readiness.armed
    assert "no radio link" in session.readiness.reasons


@every_console
def test_a_board_with_live_outputs_says_so(case: Case) -> None:
    board = board_of(case)
    board.device.aircraft.outputs_live = True
    readiness = meet_board(case, board).readiness
    assert readiness is not None
    assert readiness.armed


@every_console
@pytest.mark.parametrize("settings", [60, 612])
def test_the_reading_is_what_the_board_holds(case: Case, settings: int) -> None:
    board = board_of(case, replace(case.options, settings=settings))
    snapshot = read_settled(meet_board(case, board), ScriptedPerson())
    raw = {n: s.raw for n, s in snapshot.settings.items() if not s.volatile}
    assert raw == shown(case, board)
    assert snapshot.not_understood == ()
    clocks = [case.clock] if case.clock else []
    assert [n for n, s in snapshot.settings.items() if s.volatile] == clocks


@every_console
@pytest.mark.parametrize("piece_bytes", [1, 2, 3, 7, 16])
def test_any_way_of_cutting_the_bytes_gives_the_same_reading(
    case: Case, piece_bytes: int
) -> None:
    board = board_of(case, piece_bytes=piece_bytes)
    snapshot = read_settled(meet_board(case, board), ScriptedPerson())
    raw = {n: s.raw for n, s in snapshot.settings.items() if not s.volatile}
    assert raw == shown(case, board)


@every_console
def test_a_backup_comes_back_from_its_file(case: Case) -> None:
    session = meet_board(case, board_of(case))
    backup = back_up(session, ScriptedPerson(), Shelf(), STAMP).backup
    again = parse(render(backup), "copy")
    assert backup.full
    assert moved(again.snapshot, backup.snapshot) == ()
    assert again.snapshot.verbatim == backup.snapshot.verbatim


@every_console
def test_a_comparison_finds_what_differs_and_nothing_else(case: Case) -> None:
    session = meet_board(case, board_of(case))
    found = compare_board(session, ScriptedPerson(), wanting(case.changes))
    plan = prepare(session, ScriptedPerson(), wanting(case.changes)).plan
    assert not found.difference.same
    assert {change.name for change in plan.changes} == set(case.changes)


@every_console
@pytest.mark.parametrize("baud", [0, 115_200])
def test_changes_of_every_kind_are_kept_over_a_restart(case: Case, baud: int) -> None:
    board = board_of(case, replace(case.options, baud=baud))
    session, before = meet_board(case, board), kept(case, board)
    applied = carry_out(session, case.changes)
    now = kept(case, board)
    assert compare(applied.after, wanting(case.changes)).same
    assert {name for name in now if now[name] != before[name]} == set(case.changes)
    assert board.epoch == 2
    assert shown(case, board) == now


@every_console
def test_changes_are_kept_when_bytes_come_one_by_one(case: Case) -> None:
    board = board_of(case, piece_bytes=1)
    applied = carry_out(meet_board(case, board), case.changes)
    assert compare(applied.after, wanting(case.changes)).same


@every_console
def test_a_backup_brings_everything_back_exactly(case: Case) -> None:
    board, person = board_of(case), ScriptedPerson()
    session, before = meet_board(case, board), kept(case, board)
    backup = back_up(session, person, Shelf(), STAMP).backup
    carry_out(session, case.changes)
    back = intent_from_backup(backup, "shelf", same_board=True)
    apply(prepare(session, person, back), person, Shelf().shelves, STAMP, agreed=True)
    assert kept(case, board) == before
    assert shown(case, board) == before


@every_console
def test_a_value_that_does_not_take_puts_all_of_them_back(case: Case) -> None:
    board = board_of(case)
    session, before = meet_board(case, board), shown(case, board)
    name, value = case.refused
    with pytest.raises(MismatchError) as caught:
        carry_out(session, {**case.changes, name: value})
    assert any(detail.startswith(name) for detail in caught.value.details)
    assert "every old value is back" in caught.value.hint
    assert shown(case, board) == before
    assert board.epoch == 1


@every_console
def test_an_unknown_name_is_refused_before_anything_is_written(case: Case) -> None:
    board = board_of(case)
    session, before = meet_board(case, board), shown(case, board)
    with pytest.raises(MismatchError):
        carry_out(session, {**case.changes, "no.such.thing": "1"})
    assert shown(case, board) == before
    snapshot = read_settled(session, ScriptedPerson())
    assert "no.such.thing" not in snapshot.settings


@every_console
@pytest.mark.parametrize("verb", ["stop", "blink"])
def test_the_board_takes_a_stop_and_a_blink(case: Case, verb: str) -> None:
    board = board_of(case)
    grammar = Grammar(described(case.kind))
    (reply,) = say(board, grammar, [grammar.utter(verb)])
    assert reply.verdict is Verdict.OK


@every_console
def test_a_stop_brings_live_outputs_to_rest(case: Case) -> None:
    board = board_of(case)
    board.device.aircraft.outputs_live = True
    stop = Grammar(described(case.kind)).single("stop")
    ticket = board.conversation.submit(Lane.STOP, stop)
    board.until(lambda: any(getattr(e, "ticket", 0) == ticket for e in board.heard))
    assert not board.device.aircraft.outputs_live

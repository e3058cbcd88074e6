"""The scoter console: no echo, no prompt, no answer to a write, and one long line."""

from dataclasses import replace

import pytest

from benchlink.console.events import Answered
from benchlink.console.lanes import Lane
from benchlink.core.exchange import Verdict
from benchlink.core.values import Text, Word
from benchlink.errors import FileError, MismatchError
from benchlink.workflows.backup import back_up
from benchlink.workflows.keeping import UNSEEN_RESTART
from benchlink.workflows.read import read_settled
from mocks.control import tell_hands
from tests.consoles.consoles import SCOTER, board_of, carry_out, kept, meet_board, shown
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import STAMP


def test_a_list_of_a_hundred_thousand_bytes_in_one_line_is_read_whole() -> None:
    board = board_of(SCOTER, replace(SCOTER.options, settings=5000))
    snapshot = read_settled(meet_board(SCOTER, board), ScriptedPerson())
    raw = {n: s.raw for n, s in snapshot.settings.items() if not s.volatile}
    assert raw == shown(SCOTER, board)
    assert len(snapshot.verbatim) > 100_000


@pytest.mark.parametrize("settings", [60, 612])
def test_what_is_not_in_the_learned_string_is_asked_for_by_name(settings: int) -> None:
    board = board_of(SCOTER, replace(SCOTER.options, settings=settings))
    session = meet_board(SCOTER, board)
    backup = back_up(session, ScriptedPerson(), Shelf(), STAMP).backup
    plate = {n: s for n, s in backup.snapshot.settings.items() if ":BOARD:" in n}
    assert [n for n in shown(SCOTER, board) if ":BOARD:" in n] == [
        name for name, setting in plate.items() if not setting.volatile
    ]
    assert plate[":BOARD:NUMBER"].value == Text(session.identity.number)
    assert not any(setting.writable for setting in plate.values())
    assert backup.full


def test_every_reason_is_told_by_itself() -> None:
    readiness = meet_board(SCOTER, board_of(SCOTER)).readiness
    assert readiness is not None
    assert readiness.reasons == ("no radio link", "level not set", "no pack")


def test_a_board_with_no_reason_left_says_none() -> None:
    board = board_of(SCOTER)
    board.device.aircraft.put("level.set", "yes")
    board.device.aircraft.radio_link = True
    tell_hands(board.device, "connect pack", board.now_us)
    readiness = meet_board(SCOTER, board).readiness
    assert readiness is not None
    assert readiness.reasons == ()


@pytest.mark.parametrize("found", [b"TILT:LEFT:CENT 15", b'CRAF:CALL "ope', b"X;X\n"])
def test_a_line_begun_by_somebody_and_old_errors_do_no_harm(found: bytes) -> None:
    board = board_of(SCOTER, found=found)
    before = shown(SCOTER, board)
    carry_out(meet_board(SCOTER, board), {":PACK:CAPACITY": "1800"})
    assert kept(SCOTER, board) == before | {":PACK:CAPACITY": "1800"}


def test_the_reason_of_a_refusal_is_told() -> None:
    board = board_of(SCOTER)
    with pytest.raises(MismatchError) as caught:
        carry_out(meet_board(SCOTER, board), {":TILT:LEFT:CENTRE": "9000"})
    (detail,) = caught.value.details
    assert detail.endswith("the board holds 1500; it refused: Data out of range")


def test_cells_that_move_two_voltages_are_put_back() -> None:
    board = board_of(SCOTER)
    before = shown(SCOTER, board)
    with pytest.raises(MismatchError) as caught:
        carry_out(meet_board(SCOTER, board), {":PACK:CELLS": "6"})
    assert len(caught.value.details) == 2
    assert shown(SCOTER, board) == before


def test_a_semicolon_leaves_only_inside_quotes() -> None:
    board = board_of(SCOTER)
    session = meet_board(SCOTER, board)
    with pytest.raises(FileError, match="cannot be sent"):
        carry_out(session, {":TILT:LEFT:DIRECTION": "REV;*RST"})
    carry_out(session, {":CRAFT:CALL": '"a;*RST"', ":PACK:CAPACITY": "1800"})
    assert kept(SCOTER, board)[":CRAFT:CALL"] == '"a;*RST"'
    assert kept(SCOTER, board)[":PACK:CAPACITY"] == "1800"


def test_what_a_word_may_hold_is_judged_before_it_is_sent() -> None:
    session = meet_board(SCOTER, board_of(SCOTER))
    settings = read_settled(session, ScriptedPerson()).settings
    direction = settings[":TILT:LEFT:DIRECTION"]
    assert session.grammar.unwritable(direction, Word("REV")) == ""
    assert "';'" in session.grammar.unwritable(direction, Word("REV;REB"))


def test_a_stop_in_the_middle_of_the_list_is_answered_after_it() -> None:
    board = board_of(SCOTER, replace(SCOTER.options, settings=612, baud=115_200))
    grammar = meet_board(SCOTER, board).grammar
    board.device.aircraft.outputs_live = True
    (listing,) = grammar.asks(grammar.description.sources[0])
    listed = board.conversation.submit(Lane.BULK, listing.commands[0])
    board.until(lambda: board.received > 2000)
    stopped = board.conversation.submit(Lane.STOP, grammar.single("stop"))
    board.until(lambda: len(board.heard) == 2)
    answers = {e.ticket: e.answer for e in board.heard if isinstance(e, Answered)}
    assert not board.device.aircraft.outputs_live
    assert answers[stopped].verdict is Verdict.OK
    assert len(answers[listed].lines) == 1


def test_a_restart_without_a_word_is_waited_for_and_not_called_proven() -> None:
    board, person = board_of(SCOTER), ScriptedPerson()
    carry_out(meet_board(SCOTER, board), {":PACK:CAPACITY": "1800"}, person)
    assert board.device.boots == 2
    assert UNSEEN_RESTART in person.told

"""Who the board is and whether its outputs rest, before anything is written."""

from dataclasses import replace

import pytest

from benchlink.console.grammar import Grammar
from benchlink.core.identity import Identity
from benchlink.errors import SafetyRefusalError, WrongBoardError
from benchlink.workflows.session import meet, meet_again, require_at_rest
from mocks.options import Options
from tests.support.virtual_bench import (
    meet_wader,
    virtual_board,
    wader,
    words_sent,
)


def test_a_board_is_met_by_two_questions_and_says_its_name_twice() -> None:
    board = virtual_board()
    session = meet_wader(board)
    assert session.identity == Identity(
        board_type="wader", firmware="1.4.2", number="44CB-9325"
    )
    assert session.readiness is not None
    assert session.readiness.reasons == ("no radio link", "level not set", "no pack")
    assert words_sent(board, "plate", "state") == ["plate", "plate", "state"]
    assert not words_sent(board, "let", "keep", "restart", "recite")


def test_another_type_of_board_is_refused_with_both_names() -> None:
    grammar = Grammar(replace(wader(), board_types=("heron", "dunlin*")))
    with pytest.raises(WrongBoardError) as caught:
        meet(virtual_board(), grammar)
    assert "heron or dunlin*" in str(caught.value)
    assert "wader, firmware 1.4.2, number 44CB-9325" in str(caught.value)


def test_a_console_that_cannot_tell_readiness_is_not_at_rest() -> None:
    verbs = {name: v for name, v in wader().verbs.items() if name != "readiness"}
    session = meet(virtual_board(), Grammar(replace(wader(), verbs=verbs)))
    assert session.readiness is None
    with pytest.raises(SafetyRefusalError, match="cannot say"):
        require_at_rest(session)


def test_live_outputs_are_not_at_rest() -> None:
    board = virtual_board()
    board.device.aircraft.outputs_live = True
    with pytest.raises(SafetyRefusalError, match="LIVE") as caught:
        require_at_rest(meet_wader(board))
    assert "Nothing was written" in caught.value.hint


def test_the_same_board_is_met_again_in_a_new_epoch() -> None:
    board = virtual_board()
    session = meet_wader(board)
    board.restart(session.grammar.single("restart"), wader().manner.back_within)
    again = meet_again(session)
    assert again.identity == session.identity
    assert (session.epoch, again.epoch) == (1, 2)


def test_another_board_after_a_restart_is_refused_with_both_numbers() -> None:
    session = meet_wader(virtual_board())
    twin = virtual_board(Options(settings=60, seed=2))
    with pytest.raises(WrongBoardError) as caught:
        meet_again(replace(session, board=twin))
    assert "44CB-9325" in str(caught.value)
    assert meet_wader(twin).identity.number in str(caught.value)

"""The board against an intent, in every state, with nothing written."""

import pytest

from benchlink.core.difference import State
from benchlink.core.intent import Fits
from benchlink.errors import WrongBoardError
from benchlink.workflows.compare import compare_board
from tests.support.people import ScriptedPerson
from tests.support.virtual_bench import (
    live,
    meet_wader,
    virtual_board,
    wanting,
    words_sent,
)

WANTED = {
    "pack.cells": "4",
    "pack.capacity_mah": "1800",
    "radio.failsafe.action": "hold",
    "reed.height_mm": "12",
    "steady.on": "nine",
    "board.number": '"7F3A-0001"',
    "steady.yaw.gain": "1.5",
}


def test_every_state_is_told_apart() -> None:
    session = meet_wader(virtual_board())
    intent = wanting(WANTED, waived={"steady.yaw.gain": "trial until the next hover"})
    found = compare_board(session, ScriptedPerson(), intent).difference
    states = {f.name: f.state for f in found.findings if f.name in WANTED}
    assert states == {
        "pack.cells": State.AS_INTENDED,
        "pack.capacity_mah": State.DIFFERS,
        "radio.failsafe.action": State.DIFFERS,
        "reed.height_mm": State.MISSING,
        "steady.on": State.IMPOSSIBLE,
        "board.number": State.IMPOSSIBLE,
        "steady.yaw.gain": State.WAIVED,
    }
    assert found.counts[State.LEFT_ALONE] == 60 - 6
    assert not found.same


def test_a_spelling_that_means_the_same_is_no_difference() -> None:
    session = meet_wader(virtual_board())
    intent = wanting(
        {"steady.on": "on", "steady.roll.gain": "1.200", "rail.warn_v": "4.9"},
        tolerances={"rail.warn_v": "0.1"},
    )
    compared = compare_board(session, ScriptedPerson(), intent)
    assert compared.difference.same
    assert compared.snapshot.complete


def test_comparing_writes_nothing() -> None:
    board = virtual_board()
    before = live(board)
    compare_board(meet_wader(board), ScriptedPerson(), wanting(WANTED))
    assert not words_sent(board, "let", "keep", "forget", "restart", "start")
    assert live(board) == before


@pytest.mark.parametrize(
    "fits", [Fits(board_types=("heron",)), Fits(firmware=("2.*", "1.5*"))]
)
def test_a_profile_for_other_boards_is_refused_with_both_identities(fits: Fits) -> None:
    board = virtual_board()
    session = meet_wader(board)
    with pytest.raises(WrongBoardError) as caught:
        compare_board(session, ScriptedPerson(), wanting({}, fits=fits))
    assert str(fits) in str(caught.value)
    assert str(session.identity) in str(caught.value)
    assert not words_sent(board, "recite")

"""What may move is written only when somebody agreed to it, on a board at rest."""

from collections.abc import Callable

import pytest

from benchlink.errors import MismatchError, SafetyRefusalError
from benchlink.workflows.apply import apply
from benchlink.workflows.keeping import Proof
from benchlink.workflows.planning import prepare
from benchlink.workflows.roll_back import POWER_CYCLE
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import STAMP, meet_wader, virtual_board, wanting
from tests.support.virtual_board import VirtualBoard


def changed_by(board: VirtualBoard) -> list[str]:
    """What left for the board that could change it."""
    lines = b"".join(board.written).decode().split("\r")
    return [line for line in lines if line.startswith(("let ", "keep", "restart"))]


def test_a_board_armed_while_the_plan_was_looked_at_is_not_written_to() -> None:
    board = virtual_board()

    def arm(_: str) -> None:
        board.device.aircraft.outputs_live = True

    prepared = prepare(
        meet_wader(board), ScriptedPerson(), wanting({"pack.capacity_mah": "1800"})
    )
    person = ScriptedPerson(at=arm)
    with pytest.raises(SafetyRefusalError, match="LIVE"):
        apply(prepared, person, Shelf().shelves, STAMP, agreed=False)
    assert changed_by(board) == []


def test_a_neighbour_that_may_move_is_never_written_back_by_itself() -> None:
    board = virtual_board()
    session = meet_wader(board)
    intent = wanting({"tilt.left.centre_us": "1500", "pack.capacity_mah": "1800"})
    prepared = prepare(session, ScriptedPerson(), intent)
    assert not prepared.plan.moving
    board.damage = moved_by_the_write(board)
    with pytest.raises(MismatchError) as caught:
        apply(prepared, ScriptedPerson(), Shelf().shelves, STAMP, agreed=True)
    assert "tilt.left.centre_us: asked for 1500" in caught.value.details[0]


def test_putting_back_leaves_what_may_move_and_says_so() -> None:
    board = virtual_board()
    prepared = prepare(
        meet_wader(board), ScriptedPerson(), wanting({"pack.capacity_mah": "1800"})
    )
    board.damage = moved_by_the_write(board)
    with pytest.raises(MismatchError) as caught:
        apply(prepared, ScriptedPerson(typed=""), Shelf().shelves, STAMP, agreed=True)
    assert not any("tilt.left.centre_us" in line for line in changed_by(board))
    assert "could NOT be put back (tilt.left.centre_us" in caught.value.hint
    assert board.device.aircraft.live["pack.capacity_mah"] == "1550"


def test_hands_clear_lets_it_put_back_what_nobody_planned_to_move() -> None:
    board = virtual_board()
    prepared = prepare(
        meet_wader(board), ScriptedPerson(), wanting({"pack.capacity_mah": "1800"})
    )
    board.damage = moved_by_the_write(board, times=1)
    person = ScriptedPerson()
    with pytest.raises(MismatchError):
        apply(prepared, person, Shelf().shelves, STAMP, agreed=True)
    assert any("hands clear" in asked for asked in person.asked)
    assert board.device.aircraft.live["tilt.left.centre_us"] == "1500"


def moved_by_the_write(
    board: VirtualBoard, times: int = 1000
) -> Callable[[bytes], bytes]:
    """The board moves a tilt centre whenever the capacity is written."""

    moved: list[bytes] = []

    def damage(data: bytes) -> bytes:
        written = any("capacity" in line for line in changed_by(board))
        if written and len(moved) < times:
            moved.append(data)
            board.device.aircraft.put("tilt.left.centre_us", "1510")
        return data

    return damage


def test_an_interrupted_put_back_says_where_the_old_values_stand() -> None:
    board = virtual_board()

    def step_in(said: str) -> None:
        begun = any(told.startswith("putting the old") for told in person.told)
        if begun and said.startswith("reading "):
            raise KeyboardInterrupt

    person = ScriptedPerson(at=step_in)
    prepared = prepare(meet_wader(board), person, wanting({"pack.cells": "3"}))
    with pytest.raises(KeyboardInterrupt):
        apply(prepared, person, Shelf().shelves, STAMP, agreed=True)
    assert "NOT put back" in person.told[-1]
    assert POWER_CYCLE in person.told[-1]
    assert "shelf/1" in person.told[-1]


def test_a_restart_that_a_banner_shows_is_proof() -> None:
    board = virtual_board()
    intent = wanting({"pack.capacity_mah": "1800"})
    prepared = prepare(meet_wader(board), ScriptedPerson(), intent)
    applied = apply(prepared, ScriptedPerson(), Shelf().shelves, STAMP, agreed=True)
    assert applied.proof is Proof.RESTARTED

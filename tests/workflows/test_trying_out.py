"""Values on trial: kept on the typed word alone, else put back and proven."""

import pytest

from benchlink.core.journal import Mark
from benchlink.errors import BenchError, DeclinedError, LinkError
from benchlink.units import Seconds
from benchlink.workflows.apply import Applied, apply
from benchlink.workflows.carrying import Course
from benchlink.workflows.planning import prepare
from benchlink.workflows.roll_back import AGAIN
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import STAMP, live, meet_wader, virtual_board, wanting
from tests.support.virtual_board import VirtualBoard

TRIAL = Course(try_for=Seconds(120))
WANTED = {"pack.capacity_mah": "1800"}


def tried(board: VirtualBoard, shelf: Shelf, person: ScriptedPerson) -> Applied:
    prepared = prepare(meet_wader(board), person, wanting(WANTED))
    return apply(prepared, person, shelf.shelves, STAMP, agreed=True, course=TRIAL)


def test_the_word_keeps_it() -> None:
    board, shelf = virtual_board(), Shelf()
    tried(board, shelf, ScriptedPerson(typed="keep"))
    assert board.device.aircraft.kept()["pack.capacity_mah"] == "1800"
    assert shelf.journals.state is Mark.DONE


def test_while_it_is_tried_nothing_is_kept() -> None:
    board, shelf = virtual_board(), Shelf()
    seen: list[tuple[str, str]] = []

    def look(said: str) -> None:
        if "unkept, 2:00 left" in said:
            kept = board.device.aircraft.kept()["pack.capacity_mah"]
            seen.append((live(board)["pack.capacity_mah"], kept))

    tried(board, shelf, ScriptedPerson(typed="keep", at=look))
    assert seen == [("1800", "1550")]


def test_any_other_word_or_none_puts_it_back() -> None:
    board, shelf = virtual_board(), Shelf()
    before = live(board)
    with pytest.raises(DeclinedError) as caught:
        tried(board, shelf, ScriptedPerson(typed=""))
    assert caught.value.hint == AGAIN
    assert live(board) == before
    assert shelf.journals.state is Mark.UNDONE


def test_ctrl_c_puts_it_back() -> None:
    board, shelf = virtual_board(), Shelf()
    before = live(board)

    def interrupt(said: str) -> None:
        if "unkept" in said:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        tried(board, shelf, ScriptedPerson(at=interrupt))
    assert live(board) == before
    assert shelf.journals.state is Mark.UNDONE


def test_with_the_cable_out_it_says_that_it_cannot_put_back() -> None:
    board, shelf = virtual_board(), Shelf()

    def cut(said: str) -> None:
        if "unkept" in said:
            msg = "the port is gone"
            raise LinkError(msg)

    with pytest.raises(BenchError) as caught:
        tried(board, shelf, ScriptedPerson(at=cut))
    assert "a power cycle brings the kept values back" in caught.value.hint
    assert shelf.journals.state is Mark.TRYING

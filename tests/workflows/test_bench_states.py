"""Bench values hold for a block of work and are gone after it, whatever happens in it."""

from decimal import Decimal

import pytest

from benchlink.core.journal import Kind, Mark
from benchlink.core.values import Number, Switch, Value
from benchlink.errors import LinkError, MismatchError, UsageError
from benchlink.workflows.bench_states import Asked, bench_states
from benchlink.workflows.finishing import Desk, of_this_board, put_back
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import STAMP, live, meet_wader, virtual_board

STEADY = "steady.on"
OFF: dict[str, Value] = {STEADY: Switch(on=False)}
ASKED = Asked(values=OFF, why="centring the left servo")


class OopsError(Exception):
    """Whatever went wrong in the block."""


def test_the_value_holds_inside_and_is_back_after() -> None:
    board, shelf, person = virtual_board(), Shelf(), ScriptedPerson()
    before = live(board)
    with bench_states(meet_wader(board), person, shelf.journals, STAMP, ASKED):
        assert live(board)[STEADY] != before[STEADY]
        assert board.device.aircraft.kept()[STEADY] == before[STEADY]
        (open_one,) = shelf.journals.unfinished()
        assert open_one.transaction.kind is Kind.BENCH
    assert live(board) == before
    assert shelf.journals.state is Mark.UNDONE


@pytest.mark.parametrize("error", [OopsError, KeyboardInterrupt])
def test_an_error_inside_puts_it_back(error: type[BaseException]) -> None:
    board, shelf, person = virtual_board(), Shelf(), ScriptedPerson()
    before = live(board)
    with (
        pytest.raises(error),
        bench_states(meet_wader(board), person, shelf.journals, STAMP, ASKED),
    ):
        raise error
    assert live(board) == before
    assert shelf.journals.state is Mark.UNDONE


def test_while_something_is_kept_the_old_value_stands() -> None:
    board, shelf, person = virtual_board(), Shelf(), ScriptedPerson()
    before = live(board)
    with bench_states(
        meet_wader(board), person, shelf.journals, STAMP, ASKED
    ) as states:
        with states.lifted():
            assert live(board) == before
            board.device.aircraft.keep()
        assert live(board)[STEADY] != before[STEADY]
    assert board.device.aircraft.kept()[STEADY] == before[STEADY]


def test_a_lost_cable_leaves_it_to_the_next_start() -> None:
    board, shelf, person = virtual_board(), Shelf(), ScriptedPerson()
    before = live(board)
    msg = "the cable is out"
    with (
        pytest.raises(LinkError) as caught,
        bench_states(meet_wader(board), person, shelf.journals, STAMP, ASKED),
    ):
        raise LinkError(msg)
    assert "benchlink undo" in caught.value.hint
    session = meet_wader(board)
    (found,) = of_this_board(session.identity, shelf.journals.unfinished())
    desk = Desk(records=shelf, journals=shelf.journals, stamp=STAMP, agreed=True)
    put_back(session, person, found, desk)
    assert live(board) == before


def test_what_somebody_changed_meanwhile_is_left_and_told() -> None:
    board, shelf, person = virtual_board(), Shelf(), ScriptedPerson()
    asked = Asked(
        values={"pack.capacity_mah": Number(Decimal(900))}, why="a small pack"
    )
    with (
        pytest.raises(MismatchError, match="somebody changed"),
        bench_states(meet_wader(board), person, shelf.journals, STAMP, asked),
    ):
        board.device.aircraft.put("pack.capacity_mah", "2000")
    assert live(board)["pack.capacity_mah"] == "2000"
    assert shelf.journals.unfinished()


def test_a_name_that_is_not_there_is_refused_before_anything_is_sent() -> None:
    board, shelf = virtual_board(), Shelf()
    asked = Asked(values={"no.such": Switch(on=True)}, why="x")
    with (
        pytest.raises(UsageError, match=r"no\.such"),
        bench_states(meet_wader(board), ScriptedPerson(), shelf.journals, STAMP, asked),
    ):
        pass
    assert shelf.journals.papers == []

"""What was interrupted is finished or undone: from every mark, twice, and again."""

from collections.abc import Callable

import pytest

from benchlink.core.identity import Identity
from benchlink.core.journal import Mark
from benchlink.errors import DeclinedError, LinkError, SafetyRefusalError
from benchlink.units import Seconds
from benchlink.workflows.apply import apply
from benchlink.workflows.carrying import Course
from benchlink.workflows.finishing import (
    Desk,
    Found,
    of_this_board,
    put_back,
    require_finished,
    resume,
)
from benchlink.workflows.planning import prepare
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import STAMP, live, meet_wader, virtual_board, wanting
from tests.support.virtual_board import VirtualBoard

CALM = {"pack.capacity_mah": "1800", "craft.tail_number": '"LW-05"', "steady.on": "off"}
FORWARD = (Mark.WRITING, Mark.PROVEN, Mark.KEEPING, Mark.RESTARTING, Mark.SETTLED)


class Killed(BaseException):
    """The process is gone: nothing of ours runs any more."""


def killed_at(mark: Mark) -> Callable[[Mark], None]:
    def at(now: Mark) -> None:
        if now is mark:
            raise Killed

    return at


def broken_off(mark: Mark, *, after: bool) -> tuple[VirtualBoard, Shelf]:
    """An apply that was killed right before, or right after, a mark was written."""
    board, shelf = virtual_board(), Shelf()
    order = (*FORWARD, Mark.DONE)
    shelf.journals.at = killed_at(order[order.index(mark) + 1] if after else mark)
    session = meet_wader(board)
    prepared = prepare(session, ScriptedPerson(), wanting(CALM))
    with pytest.raises(Killed):
        apply(prepared, ScriptedPerson(), shelf.shelves, STAMP, agreed=True)
    shelf.journals.at = lambda _: None
    return board, shelf


def found_on(board: VirtualBoard, shelf: Shelf) -> Found:
    (found,) = of_this_board(meet_wader(board).identity, shelf.journals.unfinished())
    return found


def desk(shelf: Shelf, *, agreed: bool = True) -> Desk:
    return Desk(records=shelf, journals=shelf.journals, stamp=STAMP, agreed=agreed)


def is_new(board: VirtualBoard) -> bool:
    for now in (live(board), board.device.aircraft.kept()):
        if (now["pack.capacity_mah"], now["craft.tail_number"]) != ("1800", '"LW-05"'):
            return False
    return True


@pytest.mark.parametrize("power_cycle", [False, True])
@pytest.mark.parametrize("after", [False, True])
@pytest.mark.parametrize("mark", FORWARD)
def test_what_was_killed_at_any_mark_is_finished(
    mark: Mark, *, after: bool, power_cycle: bool
) -> None:
    board, shelf = broken_off(mark, after=after)
    if power_cycle:
        board.restart_by_hand()
    resume(meet_wader(board), ScriptedPerson(), found_on(board, shelf), desk(shelf))
    assert is_new(board)
    assert shelf.journals.state is Mark.DONE


@pytest.mark.parametrize("power_cycle", [False, True])
@pytest.mark.parametrize("after", [False, True])
@pytest.mark.parametrize("mark", FORWARD)
def test_what_was_killed_at_any_mark_is_undone(
    mark: Mark, *, after: bool, power_cycle: bool
) -> None:
    fresh = virtual_board()
    before, kept = live(fresh), fresh.device.aircraft.kept()
    board, shelf = broken_off(mark, after=after)
    if power_cycle:
        board.restart_by_hand()
    put_back(meet_wader(board), ScriptedPerson(), found_on(board, shelf), desk(shelf))
    assert live(board) == before
    assert board.device.aircraft.kept() == kept
    assert shelf.journals.state is Mark.UNDONE


@pytest.mark.parametrize("mark", [Mark.UNDOING, Mark.KEEPING, Mark.RESTARTING])
def test_an_undo_that_is_killed_can_be_run_again(mark: Mark) -> None:
    fresh = virtual_board()
    before = live(fresh)
    board, shelf = broken_off(Mark.RESTARTING, after=True)
    shelf.journals.at = killed_at(mark)
    with pytest.raises(Killed):
        put_back(
            meet_wader(board), ScriptedPerson(), found_on(board, shelf), desk(shelf)
        )
    shelf.journals.at = lambda _: None
    put_back(meet_wader(board), ScriptedPerson(), found_on(board, shelf), desk(shelf))
    assert live(board) == before
    assert board.device.aircraft.kept()["pack.capacity_mah"] == "1550"


def test_a_half_undone_change_can_still_be_finished() -> None:
    board, shelf = broken_off(Mark.RESTARTING, after=True)
    shelf.journals.at = killed_at(Mark.KEEPING)
    with pytest.raises(Killed):
        put_back(
            meet_wader(board), ScriptedPerson(), found_on(board, shelf), desk(shelf)
        )
    shelf.journals.at = lambda _: None
    resume(meet_wader(board), ScriptedPerson(), found_on(board, shelf), desk(shelf))
    assert is_new(board)


def test_what_somebody_changed_meanwhile_is_asked_about() -> None:
    board, shelf = broken_off(Mark.PROVEN, after=False)
    board.device.aircraft.put("pack.capacity_mah", "2200")
    person = ScriptedPerson(says_yes=False)
    with pytest.raises(DeclinedError):
        resume(meet_wader(board), person, found_on(board, shelf), desk(shelf))
    assert live(board)["pack.capacity_mah"] == "2200"
    assert any("was 1550, should become 1800, now 2200" in t for t in person.told)


def test_no_other_change_begins_on_top_of_it() -> None:
    board, shelf = broken_off(Mark.PROVEN, after=False)
    with pytest.raises(SafetyRefusalError, match="left unfinished"):
        require_finished([found_on(board, shelf)])


def test_it_is_nobody_elses_business() -> None:
    _, shelf = broken_off(Mark.PROVEN, after=False)
    twin = Identity(board_type="wader", firmware="1.4.2", number="OTHER")
    assert of_this_board(twin, shelf.journals.unfinished()) == []


def test_a_board_that_does_not_say_which_one_it_is_may_be_the_one() -> None:
    _, shelf = broken_off(Mark.PROVEN, after=False)
    anonymous = Identity(board_type="wader", firmware="1.4.2")
    assert of_this_board(anonymous, shelf.journals.unfinished()) == []


def test_a_cable_that_falls_out_is_waited_for_and_the_change_goes_on() -> None:
    board, shelf = virtual_board(), Shelf()
    prepared = prepare(meet_wader(board), ScriptedPerson(), wanting(CALM))
    lost: list[int] = []

    def cut(said: str) -> None:
        if said.startswith("reading back") and not lost:
            lost.append(1)
            msg = "the cable is out"
            raise LinkError(msg)

    person = ScriptedPerson(at=cut)
    apply(
        prepared,
        person,
        shelf.shelves,
        STAMP,
        agreed=True,
        course=Course(wait_for=Seconds(5)),
    )
    assert lost
    assert is_new(board)
    assert shelf.journals.state is Mark.DONE
    assert any("it is back" in told for told in person.told)


def test_without_a_wait_the_journal_stays_open_and_says_so() -> None:
    board, shelf = virtual_board(), Shelf()
    prepared = prepare(meet_wader(board), ScriptedPerson(), wanting(CALM))

    def cut(said: str) -> None:
        if said.startswith("reading back"):
            msg = "the cable is out"
            raise LinkError(msg)

    with pytest.raises(LinkError) as caught:
        apply(prepared, ScriptedPerson(at=cut), shelf.shelves, STAMP, agreed=True)
    assert "benchlink resume" in caught.value.hint
    assert "benchlink undo" in caught.value.hint
    assert shelf.journals.state is Mark.WRITING

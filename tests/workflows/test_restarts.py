"""A restart is motion: hands clear in this epoch, or a board that has nothing to move with."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from benchlink.console.grammar import Grammar
from benchlink.core.journal import Mark
from benchlink.core.restart_leave import BY_METERS, RESTART_MOVES
from benchlink.errors import MismatchError, SafetyRefusalError
from benchlink.units import Seconds
from benchlink.workflows.apply import Applied, apply
from benchlink.workflows.carrying import Course
from benchlink.workflows.finishing import Desk, of_this_board, put_back, resume
from benchlink.workflows.keeping import NO_COMMAND, NO_LEAVE, Proof
from benchlink.workflows.planning import prepare
from benchlink.workflows.session import Session, meet
from mocks.control import tell_hands
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import (
    FEW,
    STAMP,
    live,
    meet_wader,
    virtual_board,
    wader,
    wanting,
    words_sent,
)
from tests.support.virtual_board import VirtualBoard

CALM = {"pack.capacity_mah": "1800"}
MOVER = {"tilt.left.centre_us": "1510", **CALM}
ASKED = "Type 'hands clear' to go on: "
DESCRIPTION = wader()


class Killed(BaseException):
    """The process is gone."""


def powered() -> VirtualBoard:
    return virtual_board(replace(FEW, pack_in=True))


def connect(board: VirtualBoard, what: str) -> None:
    tell_hands(board.device, f"connect {what}", board.now_us)


def nobody() -> ScriptedPerson:
    """In a pipe: says no, types nothing."""
    return ScriptedPerson(says_yes=False, typed="")


def carried_out(
    board: VirtualBoard,
    person: ScriptedPerson,
    wanted: dict[str, str] = CALM,
    *,
    session: Session | None = None,
    shelf: Shelf | None = None,
    try_for: float = 0.0,
) -> Applied:
    prepared = prepare(session or meet_wader(board), person, wanting(wanted))
    return apply(
        prepared,
        person,
        (shelf or Shelf()).shelves,
        STAMP,
        agreed=True,
        course=Course(try_for=Seconds(try_for)),
    )


def acted(board: VirtualBoard) -> list[str]:
    return [line.split()[0] for line in words_sent(board, "let", "keep", "restart")]


def test_a_board_that_has_nothing_to_move_with_restarts_on_a_flag_and_says_so() -> None:
    board, person = virtual_board(), nobody()
    assert carried_out(board, person).proof is Proof.RESTARTED
    assert person.asked == []
    assert f"restarting the board; {BY_METERS}" in person.told


@pytest.mark.parametrize("what", ["pack", "rail"])
def test_with_power_on_pack_or_rail_no_flag_covers_the_restart(what: str) -> None:
    board, shelf = virtual_board(), Shelf()
    connect(board, what)
    with pytest.raises(SafetyRefusalError, match="hands are clear") as caught:
        carried_out(board, nobody(), shelf=shelf)
    assert caught.value.details == (str(RESTART_MOVES),)
    assert caught.value.hint.startswith("Nothing was written.")
    assert (acted(board), shelf.backups, shelf.journals.papers) == ([], [], [])


def test_the_words_let_it_restart_and_are_asked_for_once() -> None:
    board, person = powered(), ScriptedPerson()
    assert carried_out(board, person).proof is Proof.RESTARTED
    assert person.asked == [ASKED]
    assert f"  {RESTART_MOVES}" in person.told
    assert "restarting the board; arms may jump: hands clear" in person.told


@pytest.mark.parametrize("board_of", [powered, virtual_board])
def test_one_question_names_the_restart_and_what_else_may_move(
    board_of: Callable[[], VirtualBoard],
) -> None:
    person = ScriptedPerson()
    carried_out(board_of(), person, MOVER)
    assert person.asked == [ASKED]
    named = [line for line in person.told if line.startswith("  ")]
    assert named == ["  tilt.left.centre_us: may move a servo", f"  {RESTART_MOVES}"]


def test_a_board_that_tells_no_volts_needs_the_words() -> None:
    board = virtual_board()
    mute = meet(board, Grammar(replace(DESCRIPTION, readings=())))
    with pytest.raises(SafetyRefusalError) as caught:
        carried_out(board, nobody(), session=mute)
    assert caught.value.details == (str(RESTART_MOVES),)
    assert acted(board) == []


def test_a_board_that_cannot_be_told_to_restart_needs_none() -> None:
    board, person = powered(), nobody()
    verbs = {n: v for n, v in DESCRIPTION.verbs.items() if n != "restart"}
    session = meet(board, Grammar(replace(DESCRIPTION, verbs=verbs)))
    applied = carried_out(board, person, session=session)
    assert applied.proof is Proof.NO_RESTART
    assert (person.asked, NO_COMMAND in person.told) == ([], True)


def test_a_pack_that_was_connected_during_a_trial_is_asked_about_before_the_keep() -> (
    None
):
    board = virtual_board()
    before = live(board)

    def step_in(said: str) -> None:
        if "unkept" in said:
            connect(board, "pack")

    person = ScriptedPerson(typed="keep", at=step_in)
    with pytest.raises(SafetyRefusalError, match="hands are clear") as caught:
        carried_out(board, person, try_for=60.0)
    assert "Nothing was kept; every old value is back" in caught.value.hint
    assert live(board) == before
    assert {*acted(board)} == {"let"}


def test_each_restart_of_a_change_with_stages_is_asked_about_anew() -> None:
    board, person = powered(), ScriptedPerson()
    staged = Grammar(replace(DESCRIPTION, restart_first=("craft.*",)))
    wanted = {"craft.call": '"reed"', **CALM}
    carried_out(board, person, wanted, session=meet(board, staged))
    assert person.asked == [ASKED, ASKED]
    assert acted(board) == ["let", "keep", "restart"] * 2


def forgetting(board: VirtualBoard) -> None:
    """The board says that it keeps, and keeps nothing."""
    board.device.aircraft.keep = lambda: 0  # type: ignore[method-assign]


def test_putting_back_does_not_restart_unasked_and_says_what_is_left_to_do() -> None:
    board = powered()
    forgetting(board)

    def falls_silent(said: str) -> None:
        if said.startswith("restarting"):
            person.typed = ""

    person = ScriptedPerson(at=falls_silent)
    with pytest.raises(MismatchError) as caught:
        carried_out(board, person)
    assert acted(board).count("restart") == 1
    assert NO_LEAVE in person.told
    assert Proof.NO_LEAVE.value in caught.value.hint


def broken_off(wanted: dict[str, str]) -> tuple[VirtualBoard, Shelf]:
    """A change that was killed after its keep, on a board with its pack in."""
    board, shelf = powered(), Shelf()

    def kill(now: Mark) -> None:
        if now is Mark.RESTARTING:
            raise Killed

    shelf.journals.at = kill
    with pytest.raises(Killed):
        carried_out(board, ScriptedPerson(), wanted, shelf=shelf)
    shelf.journals.at = lambda _: None
    board.written.clear()
    return board, shelf


def desk(shelf: Shelf) -> Desk:
    return Desk(records=shelf, journals=shelf.journals, stamp=STAMP, agreed=True)


def test_no_flag_resumes_over_a_restart() -> None:
    board, shelf = broken_off(CALM)
    session = meet_wader(board)
    (found,) = of_this_board(session.identity, shelf.journals.unfinished())
    with pytest.raises(SafetyRefusalError) as caught:
        resume(session, nobody(), found, desk(shelf))
    assert caught.value.details == (str(RESTART_MOVES),)
    assert acted(board) == []


def test_undoing_on_a_flag_keeps_the_old_values_and_leaves_the_restart() -> None:
    board, shelf = broken_off(CALM)
    session, person = meet_wader(board), nobody()
    (found,) = of_this_board(session.identity, shelf.journals.unfinished())
    said = put_back(session, person, found, desk(shelf))
    assert acted(board) == ["let", "keep"]
    assert said.said == f"Every old value is back, {Proof.NO_LEAVE.value}."
    assert (person.asked, NO_LEAVE in person.told) == ([ASKED], True)
    assert board.device.aircraft.kept()["pack.capacity_mah"] == "1550"
    assert shelf.journals.state is Mark.UNDONE


def test_undoing_what_may_move_names_the_restart_in_the_same_question() -> None:
    board, shelf = broken_off(MOVER)
    session, person = meet_wader(board), ScriptedPerson()
    (found,) = of_this_board(session.identity, shelf.journals.unfinished())
    put_back(session, person, found, desk(shelf))
    assert person.asked == [ASKED]
    assert f"  {RESTART_MOVES}" in person.told
    assert acted(board)[-1] == "restart"

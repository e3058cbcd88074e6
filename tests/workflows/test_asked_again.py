"""What is asked before something may move or be kept, however the verb was called."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from benchlink.core.identity import Identity
from benchlink.core.journal import Mark
from benchlink.core.settings import Snapshot
from benchlink.core.values import Text
from benchlink.errors import (
    DeclinedError,
    LinkError,
    SafetyRefusalError,
    UsageError,
    WrongBoardError,
)
from benchlink.units import Seconds
from benchlink.workflows.apply import apply
from benchlink.workflows.bench_states import Asked, bench_states
from benchlink.workflows.carrying import Course
from benchlink.workflows.finishing import Desk, Found, of_this_board, put_back, resume
from benchlink.workflows.planning import prepare
from benchlink.workflows.session import Session
from benchlink.workflows.sound_wire import require_sound_wire
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

CALM = {"pack.capacity_mah": "1800"}
MOVER = {"tilt.left.centre_us": "1510"}
ACTS = ("let", "keep", "restart", "forget", "start")


class Killed(BaseException):
    """The process is gone."""


def killed_at(mark: Mark) -> Callable[[Mark], None]:
    def at(now: Mark) -> None:
        if now is mark:
            raise Killed

    return at


def broken_off(
    mark: Mark, wanted: dict[str, str], course: Course | None = None
) -> tuple[VirtualBoard, Shelf]:
    board, shelf = virtual_board(), Shelf()
    shelf.journals.at = killed_at(mark)
    person = ScriptedPerson()
    prepared = prepare(meet_wader(board), person, wanting(wanted))
    with pytest.raises(Killed):
        apply(prepared, person, shelf.shelves, STAMP, agreed=True, course=course)
    shelf.journals.at = lambda _: None
    board.written.clear()
    return board, shelf


def found_on(session: Session, shelf: Shelf) -> Found:
    (found,) = of_this_board(session.identity, shelf.journals.unfinished())
    return found


def desk(shelf: Shelf, *, agreed: bool = True) -> Desk:
    return Desk(records=shelf, journals=shelf.journals, stamp=STAMP, agreed=agreed)


def nobody() -> ScriptedPerson:
    """In a pipe: says no, types nothing."""
    return ScriptedPerson(says_yes=False, typed="")


def acted(board: VirtualBoard) -> list[str]:
    return words_sent(board, *ACTS)


@pytest.mark.parametrize("verb", [resume, put_back])
def test_a_keep_that_lies_ahead_is_agreed_to_even_with_nothing_to_write(
    verb: Callable[..., object],
) -> None:
    board, shelf = broken_off(Mark.RESTARTING, CALM)
    session = meet_wader(board)
    with pytest.raises(DeclinedError):
        verb(session, nobody(), found_on(session, shelf), desk(shelf, agreed=False))
    assert acted(board) == []


@pytest.mark.parametrize("mark", [Mark.PROVEN, Mark.KEEPING, Mark.RESTARTING])
@pytest.mark.parametrize("verb", [resume, put_back])
def test_no_flag_covers_a_servo_that_may_move(
    verb: Callable[..., object], mark: Mark
) -> None:
    board, shelf = broken_off(mark, MOVER)
    session = meet_wader(board)
    with pytest.raises(SafetyRefusalError, match="hands are clear"):
        verb(session, nobody(), found_on(session, shelf), desk(shelf))
    assert acted(board) == []


def test_a_trial_is_not_kept_by_a_flag() -> None:
    trial = Course(try_for=Seconds(60))
    board, shelf = broken_off(Mark.TRYING, CALM, trial)
    shelf.journals.papers[-1].mark(Mark.TRYING)
    session = meet_wader(board)
    with pytest.raises(DeclinedError):
        resume(session, nobody(), found_on(session, shelf), desk(shelf))
    assert acted(board) == []
    person = ScriptedPerson()
    resume(session, person, found_on(session, shelf), desk(shelf))
    assert any("was on trial" in question for question in person.asked)


def test_outputs_that_went_live_while_it_was_asked_end_it() -> None:
    board, shelf = broken_off(Mark.PROVEN, MOVER)
    session = meet_wader(board)

    def arm(said: str) -> None:
        if "hands clear" in said:
            board.device.aircraft.outputs_live = True

    with pytest.raises(SafetyRefusalError, match="LIVE"):
        resume(session, ScriptedPerson(at=arm), found_on(session, shelf), desk(shelf))
    assert acted(board) == []


def test_outputs_that_went_live_during_a_trial_are_not_kept_under() -> None:
    board, shelf = virtual_board(), Shelf()

    def arm(said: str) -> None:
        if "unkept" in said:
            board.device.aircraft.outputs_live = True

    person = ScriptedPerson(typed="keep", at=arm)
    prepared = prepare(meet_wader(board), person, wanting(CALM))
    with pytest.raises(SafetyRefusalError, match="LIVE") as caught:
        apply(
            prepared,
            person,
            shelf.shelves,
            STAMP,
            agreed=True,
            course=Course(try_for=Seconds(60)),
        )
    assert words_sent(board, "keep", "restart") == []
    assert "could NOT be put back" in caught.value.hint


def test_what_somebody_changed_meanwhile_is_not_undone_by_a_flag() -> None:
    board, shelf = broken_off(Mark.PROVEN, CALM)
    board.device.aircraft.put("craft.call", '"heron"')
    session = meet_wader(board)
    person = nobody()
    with pytest.raises(DeclinedError):
        put_back(session, person, found_on(session, shelf), desk(shelf))
    assert acted(board) == []
    assert any("craft.call" in told for told in person.told)


def test_hands_clear_is_asked_for_again_after_a_restart() -> None:
    """A kept centre that comes back wrong: the put-back is in a new epoch."""
    board, shelf = virtual_board(), Shelf()
    person = ScriptedPerson()
    prepared = prepare(meet_wader(board), person, wanting(MOVER))
    keep = board.device.aircraft.keep

    def lying() -> int:
        board.device.aircraft.keep = keep  # type: ignore[method-assign]
        return 0

    board.device.aircraft.keep = lying  # type: ignore[method-assign]
    with pytest.raises(Exception, match="does not hold what was kept"):
        apply(prepared, person, shelf.shelves, STAMP, agreed=True)
    assert sum("hands clear" in asked for asked in person.asked) == 2


def test_a_board_without_a_number_has_to_show_its_settings_and_the_person_says_so() -> (
    None
):
    board, shelf = broken_off(Mark.PROVEN, CALM)
    paper = shelf.journals.papers[-1]
    nameless = Identity(board_type="wader", firmware="1.4.2")
    paper.transaction = replace(paper.transaction, identity=nameless)
    session = replace(meet_wader(board), identity=nameless)
    found = Found(unfinished=shelf.journals.unfinished()[0], certain=False)
    assert of_this_board(nameless, shelf.journals.unfinished()) == [found]
    with pytest.raises(DeclinedError):
        resume(session, nobody(), found, desk(shelf))
    board.device.aircraft.put("craft.call", '"another one"')
    with pytest.raises(WrongBoardError, match="does not say which one it is"):
        resume(session, ScriptedPerson(), found, desk(shelf))
    assert acted(board) == []


def test_a_bench_value_that_could_not_go_back_is_not_set() -> None:
    board, shelf = virtual_board(), Shelf()
    board.device.aircraft.live["craft.call"] = '"a;b"'
    asked = Asked(values={"craft.call": Text("reed")}, why="x")
    with (
        pytest.raises(UsageError, match="could not be put back"),
        bench_states(meet_wader(board), ScriptedPerson(), shelf.journals, STAMP, asked),
    ):
        pass
    assert acted(board) == []


@pytest.mark.parametrize(("damage", "refused"), [(0.1, False), (0.11, True)])
def test_a_wire_that_damages_too_much_is_not_written_over(
    damage: float, *, refused: bool
) -> None:
    session = meet_wader(virtual_board())
    snapshot = Snapshot(settings={}, damage=damage)
    if not refused:
        require_sound_wire(session, snapshot)
        return
    with pytest.raises(LinkError, match="damaged 11% of what it carried"):
        require_sound_wire(session, snapshot)


def test_live_is_what_it_was() -> None:
    """The helper of these tests: a broken-off change is really in memory only."""
    board, _ = broken_off(Mark.KEEPING, CALM)
    assert live(board)["pack.capacity_mah"] == "1800"
    assert board.device.aircraft.kept()["pack.capacity_mah"] == "1550"

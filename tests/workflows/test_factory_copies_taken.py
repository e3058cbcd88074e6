"""A copy of a fresh board: on the person's word, or after the board started over."""

import pytest

from benchlink.core.confirmation import HANDS_CLEAR
from benchlink.core.factory import not_as_made
from benchlink.core.restart_leave import BY_METERS
from benchlink.errors import (
    DeclinedError,
    FileError,
    RefusedError,
    SafetyRefusalError,
    UsageError,
)
from benchlink.workflows.backup import Kept
from benchlink.workflows.factory import THROW_AWAY, keep_fresh, start_over
from mocks.control import tell_hands
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import (
    STAMP,
    live,
    meet_wader,
    virtual_board,
    words_sent,
)
from tests.support.virtual_board import VirtualBoard

CHANGING = ("let", "keep", "forget", "restart", "start")


def flown() -> VirtualBoard:
    board = virtual_board()
    board.device.aircraft.put("pack.cells", "6")
    board.device.aircraft.keep()
    return board


def reset(
    board: VirtualBoard,
    *,
    person: ScriptedPerson | None = None,
    before: Shelf | None = None,
    shelf: Shelf | None = None,
) -> Kept:
    return start_over(
        meet_wader(board),
        person or ScriptedPerson(typed=THROW_AWAY),
        before or Shelf(),
        shelf or Shelf(),
        STAMP,
    )


def test_a_fresh_board_is_kept_on_the_persons_word() -> None:
    board, shelf, person = virtual_board(), Shelf(), ScriptedPerson()
    kept = keep_fresh(meet_wader(board), person, shelf, STAMP, agreed=False)
    assert shelf.backups == [kept.backup]
    assert len(person.asked) == 1
    assert words_sent(board, *CHANGING) == []


def test_nothing_is_kept_where_nobody_says_that_it_is_fresh() -> None:
    board, shelf = virtual_board(), Shelf()
    person = ScriptedPerson(says_yes=False)
    with pytest.raises(DeclinedError, match="fresh"):
        keep_fresh(meet_wader(board), person, shelf, STAMP, agreed=False)
    assert shelf.backups == []
    assert words_sent(board, "recite") == []


def test_a_flag_may_say_that_it_is_fresh() -> None:
    shelf, person = Shelf(), ScriptedPerson(says_yes=False)
    keep_fresh(meet_wader(virtual_board()), person, shelf, STAMP, agreed=True)
    assert (len(shelf.backups), person.asked) == (1, [])


def test_a_board_that_starts_over_is_backed_up_before_and_kept_after() -> None:
    board, before, shelf = flown(), Shelf(), Shelf()
    kept = reset(board, before=before, shelf=shelf)
    (old,), (new,) = before.backups, shelf.backups
    assert old.snapshot.settings["pack.cells"].raw == "6"
    assert new.snapshot.settings["pack.cells"].raw == "4"
    assert not_as_made(old.snapshot, new.snapshot)[0] == "pack.cells"
    assert kept.backup == new
    assert words_sent(board, *CHANGING) == ["start over"]


def test_the_way_back_is_told() -> None:
    person = ScriptedPerson(typed=THROW_AWAY)
    reset(flown(), person=person)
    assert "`benchlink restore shelf/1` brings back" in person.told[-1]


@pytest.mark.parametrize("typed", ["", "yes", "hands clear", "throw away "])
def test_nothing_but_the_word_makes_a_board_start_over(typed: str) -> None:
    board, before = flown(), Shelf()
    values = live(board)
    with pytest.raises(SafetyRefusalError, match="thrown away"):
        reset(board, person=ScriptedPerson(typed=typed), before=before)
    assert (live(board), before.backups) == (values, [])
    assert words_sent(board, *CHANGING) == []


def test_live_outputs_stop_it_before_anything_is_asked() -> None:
    board, person = flown(), ScriptedPerson(typed=THROW_AWAY)
    board.device.aircraft.outputs_live = True
    with pytest.raises(SafetyRefusalError, match="LIVE"):
        reset(board, person=person)
    assert person.asked == []
    assert words_sent(board, *CHANGING) == []


def test_without_a_backup_nothing_is_thrown_away() -> None:
    board = flown()
    with pytest.raises(FileError, match="shelf is full"):
        reset(board, before=Shelf(full=True))
    assert words_sent(board, *CHANGING) == []


def test_a_copy_that_cannot_be_kept_still_tells_the_way_back() -> None:
    with pytest.raises(FileError, match="shelf is full") as caught:
        reset(flown(), shelf=Shelf(full=True))
    assert "`benchlink restore shelf/1`" in caught.value.hint


def test_a_board_that_refuses_to_start_over_gives_no_copy(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from mocks.aircraft import Aircraft  # noqa: PLC0415 - only its refusal is needed
    from mocks.quantities import RefusalError  # noqa: PLC0415

    def refuse(_: Aircraft) -> None:
        msg = "the store is locked"
        raise RefusalError(msg)

    monkeypatch.setattr(Aircraft, "start_over", refuse)
    shelf = Shelf()
    with pytest.raises(RefusedError, match="the store is locked"):
        reset(flown(), shelf=shelf)
    assert shelf.backups == []


def test_a_console_without_the_verb_says_so() -> None:
    board = flown()
    session = meet_wader(board)
    verbs = dict(session.grammar.description.verbs)
    del verbs["factory"]
    from dataclasses import replace  # noqa: PLC0415 - only here

    grammar = replace(
        session.grammar, description=replace(session.grammar.description, verbs=verbs)
    )
    person = ScriptedPerson(typed=THROW_AWAY)
    with pytest.raises(UsageError, match="no way to factory"):
        start_over(replace(session, grammar=grammar), person, Shelf(), Shelf(), STAMP)
    assert person.asked == []


def test_a_powered_board_starts_over_only_with_hands_clear_as_well() -> None:
    board, before = flown(), Shelf()
    tell_hands(board.device, "connect pack", board.now_us)
    person = ScriptedPerson(typed=THROW_AWAY)
    with pytest.raises(SafetyRefusalError, match="hands are clear"):
        reset(board, person=person, before=before)
    first, second, *again = person.asked
    assert THROW_AWAY in first
    assert HANDS_CLEAR in second
    assert all(HANDS_CLEAR in prompt for prompt in again)
    assert before.backups == []
    assert words_sent(board, *CHANGING) == []


def test_a_board_that_has_nothing_to_move_with_says_so_as_it_starts_over() -> None:
    person = ScriptedPerson(typed=THROW_AWAY)
    reset(flown(), person=person)
    assert f"starting over; {BY_METERS}" in person.told


def test_power_that_comes_while_the_copy_is_taken_stops_it() -> None:
    board, before = flown(), Shelf()

    def connect(said: str) -> None:
        if said.startswith("backed up"):
            tell_hands(board.device, "connect rail", board.now_us)

    person = ScriptedPerson(typed=THROW_AWAY, at=connect)
    with pytest.raises(SafetyRefusalError, match="arms may jump now"):
        reset(board, person=person, before=before)
    assert words_sent(board, *CHANGING) == []

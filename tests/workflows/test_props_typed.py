"""'Hands clear, props off' counts with the pack as it was when it was typed."""

from collections.abc import Callable
from contextlib import nullcontext
from dataclasses import replace
from decimal import Decimal

import pytest

from benchlink.console.grammar import Grammar
from benchlink.core.confirmation import AND_PROPS_OFF, HANDS_CLEAR, confirm_hands_clear
from benchlink.core.journal import Mark
from benchlink.core.readings import Quantity
from benchlink.core.values import Number, Value
from benchlink.errors import DeclinedError, SafetyRefusalError
from benchlink.units import Seconds
from benchlink.workflows.apply import Applied, apply
from benchlink.workflows.bench_states import Asked, bench_states
from benchlink.workflows.carrying import Course
from benchlink.workflows.factory import THROW_AWAY, start_over
from benchlink.workflows.planning import prepare
from benchlink.workflows.readings import highest
from benchlink.workflows.roll_back import AGAIN, MOTOR_MAY_SPIN
from benchlink.workflows.session import Session, meet
from mocks.control import tell_hands
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import (
    STAMP,
    live,
    meet_wader,
    virtual_board,
    wader,
    wanting,
    words_sent,
)
from tests.support.virtual_board import VirtualBoard

IDLE = "motor.left.idle_pct"
TRIAL = Course(try_for=Seconds(120))
GAP = 20.0
"""Seconds in which somebody may put a prop on."""

Step = Callable[[VirtualBoard], None]


def pack_out(board: VirtualBoard) -> None:
    tell_hands(board.device, "disconnect pack", board.now_us)
    board.idle(GAP)


def pack_in(board: VirtualBoard) -> None:
    tell_hands(board.device, "connect pack", board.now_us)
    board.idle(1.0)


def nothing(_: VirtualBoard) -> None:
    """The pack stays in."""


def powered() -> VirtualBoard:
    board = virtual_board()
    pack_in(board)
    return board


def at(board: VirtualBoard, steps: dict[str, Step]) -> Callable[[str], None]:
    """Hands that do something once, when they hear words."""
    left = dict(steps)

    def hear(said: str) -> None:
        for words in [w for w in left if w in said]:
            left.pop(words)(board)

    return hear


def typed_for_motors(person: ScriptedPerson) -> int:
    return sum(AND_PROPS_OFF in prompt for prompt in person.asked)


def changed(
    board: VirtualBoard,
    person: ScriptedPerson,
    *,
    course: Course = Course(),  # noqa: B008 - frozen
    session: Session | None = None,
    shelf: Shelf | None = None,
) -> Applied:
    met = session or meet_wader(board)
    prepared = prepare(met, person, wanting({IDLE: "7.0"}))
    shelves = (shelf or Shelf()).shelves
    return apply(prepared, person, shelves, STAMP, agreed=True, course=course)


def tried(board: VirtualBoard, person: ScriptedPerson, shelf: Shelf) -> str:
    with pytest.raises(DeclinedError) as caught:
        changed(board, person, course=TRIAL, shelf=shelf)
    return caught.value.hint


def test_with_the_pack_left_in_one_word_is_enough_for_a_trial() -> None:
    board, shelf, person = powered(), Shelf(), ScriptedPerson()
    before = live(board)
    assert tried(board, person, shelf) == AGAIN
    assert typed_for_motors(person) == 1
    assert live(board) == before


OUT_AND_IN: dict[str, Step] = {"unkept, ": pack_out, "putting the old": pack_in}


def test_a_pack_that_was_out_during_a_trial_has_it_typed_again_before_the_way_back() -> (
    None
):
    board, shelf = powered(), Shelf()
    before = live(board)
    lets: list[int] = []
    hands = at(board, OUT_AND_IN)

    def look(said: str) -> None:
        hands(said)
        if AND_PROPS_OFF in said:
            lets.append(len(words_sent(board, "let")))

    person = ScriptedPerson(at=look)
    assert tried(board, person, shelf) == AGAIN
    # Typed before anything, and again with nothing but the new value sent since.
    assert lets == [0, 1]
    assert live(board) == before


def test_what_may_spin_stays_where_nobody_types_it_again() -> None:
    board, shelf = powered(), Shelf()
    hands = at(board, OUT_AND_IN)

    def refuse(said: str) -> None:
        hands(said)
        if "putting the old" in said:
            person.typed = ""

    person = ScriptedPerson(at=refuse)
    said = tried(board, person, shelf)
    assert "could NOT be put back" in said
    assert IDLE in said
    assert live(board)[IDLE] == "7.0"
    assert len(words_sent(board, "let")) == 1
    assert shelf.journals.state is Mark.UNDOING
    assert any("is left as it is" in told for told in person.told)


def test_the_last_seconds_of_a_trial_name_the_motor_and_the_props() -> None:
    board, person = powered(), ScriptedPerson()
    with pytest.raises(DeclinedError):
        changed(board, person, course=Course(try_for=Seconds(9)))
    (last,) = (prompt for prompt in person.asked if "unkept, " in prompt)
    assert last.startswith("A MOTOR MAY SPIN SOON: props off, hands clear; ")
    assert any(told.endswith(MOTOR_MAY_SPIN) for told in person.told)


@pytest.mark.parametrize(
    ("steps", "times"),
    [
        ({}, 1),
        ({"Write one value": pack_out}, 2),
        ({"backed up to": pack_out}, 2),
        ({"Type 'hands clear": pack_out}, 1),
        ({"Type 'hands clear": pack_out, "backed up to": pack_in}, 2),
    ],
)
def test_another_pack_before_the_first_write_has_it_typed_again(
    steps: dict[str, Step], times: int
) -> None:
    board = powered()
    person = ScriptedPerson(at=at(board, steps))
    prepared = prepare(meet_wader(board), person, wanting({IDLE: "7.0"}))
    apply(prepared, person, Shelf().shelves, STAMP, agreed=False)
    assert typed_for_motors(person) == times
    assert board.device.aircraft.kept()[IDLE] == "7.0"


def test_nothing_is_written_where_it_is_not_typed_again() -> None:
    board = powered()

    def swap(said: str) -> None:
        if "backed up to" in said:
            pack_out(board)
            person.typed = ""

    person = ScriptedPerson(at=swap)
    with pytest.raises(SafetyRefusalError, match="props off"):
        changed(board, person)
    assert words_sent(board, "let") == []


def untold(board: VirtualBoard) -> Session:
    """The board, by a description that cannot tell of a pack."""
    return meet(board, Grammar(replace(wader(), readings=())))


def test_where_no_pack_is_told_of_the_words_count_for_one_writing() -> None:
    board, shelf, person = powered(), Shelf(), ScriptedPerson()
    with pytest.raises(DeclinedError):
        changed(board, person, course=TRIAL, session=untold(board), shelf=shelf)
    assert typed_for_motors(person) == 2
    assert shelf.journals.state is Mark.UNDONE


def test_where_no_pack_is_told_of_once_is_enough_for_a_change() -> None:
    board, person = powered(), ScriptedPerson()
    changed(board, person, session=untold(board))
    assert typed_for_motors(person) == 1


def test_a_bench_value_that_may_spin_is_asked_about_before_it_goes_back() -> None:
    board, shelf, person = powered(), Shelf(), ScriptedPerson()
    values: dict[str, Value] = {IDLE: Number(Decimal(7))}
    asked = Asked(values=values, why="a faster idle")
    with bench_states(meet_wader(board), person, shelf.journals, STAMP, asked):
        assert typed_for_motors(person) == 1
        pack_out(board)
        pack_in(board)
    assert typed_for_motors(person) == 2
    assert shelf.journals.state is Mark.UNDONE


@pytest.mark.parametrize(
    ("words", "between", "starts"),
    [
        (HANDS_CLEAR, nothing, 0),
        (AND_PROPS_OFF, nothing, 1),
        (HANDS_CLEAR, pack_out, 1),
    ],
)
def test_hands_clear_alone_is_no_leave_to_start_over(
    words: str, between: Step, starts: int
) -> None:
    board = powered()
    session = meet_wader(board)
    (volts,) = highest(session, Quantity.PACK_VOLTS)
    hands = confirm_hands_clear(
        words, board.epoch, motors=words == AND_PROPS_OFF, pack_volts=volts
    )
    between(board)
    person = ScriptedPerson(typed=THROW_AWAY)
    with nullcontext() if starts else pytest.raises(SafetyRefusalError, match="hands"):
        start_over(replace(session, hands=hands), person, Shelf(), Shelf(), STAMP)
    assert len(words_sent(board, "start")) == starts
    assert typed_for_motors(person) > 0 or starts


def test_a_pack_that_comes_in_while_the_copy_is_taken_stops_the_starting_over() -> None:
    board = virtual_board()
    tell_hands(board.device, "connect rail", board.now_us)
    board.idle(1.0)

    def hear(said: str) -> None:
        if THROW_AWAY in said:
            person.typed = THROW_AWAY
        elif "hands clear" in said:
            person.typed = AND_PROPS_OFF
        elif said.startswith("backed up"):
            pack_in(board)

    person = ScriptedPerson(at=hear)
    with pytest.raises(SafetyRefusalError, match="a motor may spin"):
        start_over(meet_wader(board), person, Shelf(), Shelf(), STAMP)
    assert typed_for_motors(person) == 1
    assert words_sent(board, "start") == []

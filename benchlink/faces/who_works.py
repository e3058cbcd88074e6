"""Whose motions a verb makes: the aircraft and the operator, known, given or asked for."""

from typing import Final

from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard
from benchlink.workflows.bench_watch import Who, require_operator

TAIL: Final = "Tail number of the aircraft at the bench"
WHO: Final = "Who works here, for the record?"
TRIES: Final = 3
"""How often a name is asked for before nobody is thought to be there."""


def who_works(at: AtBoard, given: Given) -> Who:
    """A sentence that is typed later names both, so nobody confirms another aircraft.

    Raises:
        SafetyRefusalError: nobody said who works here.
    """
    aircraft = at.aircraft.tail if at.aircraft else given.aircraft
    return Who(aircraft=aircraft or _tail(at), operator=operator_of(at, given))


def operator_of(at: AtBoard, given: Given) -> str:
    """Who works here: given, or asked for; an empty answer is asked about again.

    Raises:
        SafetyRefusalError: nobody said so.
    """
    if given.operator.strip():
        return given.operator.strip()
    last = at.last_answers
    ask = f"{WHO} (Enter: {last.operator}) " if last.operator else f"{WHO} "
    typed = ""
    for _ in range(TRIES):
        typed = at.person.types(ask).strip() or last.operator
        if typed:
            break
        ask = f"A name or initials are needed. {WHO} "
    last.operator = require_operator(typed)
    return last.operator


def _tail(at: AtBoard) -> str:
    last = at.last_answers
    ask = f"{TAIL} (Enter: {last.tail}): " if last.tail else f"{TAIL}: "
    last.tail = at.person.types(ask).strip() or last.tail
    return last.tail

"""Whose motions a verb makes: the aircraft and the operator, known, given or asked for."""

from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard
from benchlink.workflows.bench_watch import Who, require_operator


def who_works(at: AtBoard, given: Given) -> Who:
    """A sentence that is typed later names both, so nobody confirms another aircraft.

    Raises:
        SafetyRefusalError: nobody said who works here.
    """
    types = at.person.types
    aircraft = at.aircraft.tail if at.aircraft else given.aircraft
    if not aircraft:
        aircraft = types("Tail number of the aircraft at the bench: ").strip()
    operator = require_operator(
        given.operator or types("Who works here, for the record? ")
    )
    return Who(aircraft=aircraft, operator=operator)

"""One look at all that a board can tell of the aircraft; nothing is written.

Each question is asked until two answers agree. What is damaged, cannot be, or comes
but once is not believed; what moves meanwhile is told as not steady.
"""

from typing import Final

from benchlink.console.description import Asking
from benchlink.console.readings import measured, question, told_by
from benchlink.core.readings import (
    ENOUGH,
    Copy,
    Look,
    NotBelieved,
    Quantity,
    Reading,
    agree,
    settled,
    told_once,
)
from benchlink.errors import BoardError, RefusedError, UsageError
from benchlink.workflows.say import say
from benchlink.workflows.session import Session

TRIES: Final = 4
"""How often a question is asked before its answer is given up."""


def look(session: Session) -> Look:
    """Ask for everything, and say what is believed and what is not.

    Raises:
        UsageError: the console's description has no readings.
        LinkError: the port went away or the board fell silent for good.
    """
    description = session.grammar.description
    if not description.readings:
        msg = f"the console {description.name!r} has no way to tell readings"
        raise UsageError(
            msg,
            hint="All else works. Describe them under `readings:` if the board can tell.",
        )
    readings: dict[tuple[Quantity, int], Reading] = {}
    not_believed: list[NotBelieved] = []
    for asking in description.readings:
        found, doubt = _ask(session, asking)
        readings |= {(r.quantity, r.number): r for r in found}
        not_believed += [doubt] if doubt else []
    known = {quantity for quantity, _ in readings}
    doubted = {quantity for doubt in not_believed for quantity in doubt.quantities}
    told = {q for asking in description.readings for q in told_by(asking)}
    return Look(
        readings=tuple(readings[key] for key in sorted(readings, key=_in_order)),
        not_believed=tuple(not_believed),
        unmeasured=tuple(q for q in Quantity if q in told - known - doubted),
        untold=tuple(q for q in Quantity if q not in told),
    )


def one_look(session: Session, quantity: Quantity, number: int = 0) -> float | None:
    """One quantity alone, by the one question that tells it; None where nobody can tell.

    Raises:
        LinkError: the port went away or the board fell silent for good.
    """
    for asking in session.grammar.description.readings:
        if quantity in told_by(asking):
            found, _ = _ask(session, asking)
            for reading in found:
                if reading.quantity is quantity and number in {0, reading.number}:
                    return reading.value
    return None


def highest(session: Session, *quantities: Quantity) -> tuple[float | None, ...]:
    """The highest reading of each quantity, each question asked once.

    None where nobody can tell, or where one of several readings is not believed.

    Raises:
        LinkError: the port went away or the board fell silent for good.
    """
    found: dict[Quantity, list[float]] = {}
    doubted: set[Quantity] = set()
    for asking in session.grammar.description.readings:
        if not {*quantities} & {*told_by(asking)}:
            continue
        readings, doubt = _ask(session, asking)
        doubted |= {*doubt.quantities} if doubt else set()
        for reading in readings:
            found.setdefault(reading.quantity, []).append(reading.value)
    return tuple(
        max(found[quantity]) if quantity in found.keys() - doubted else None
        for quantity in quantities
    )


def _ask(
    session: Session, asking: Asking
) -> tuple[tuple[Reading, ...], NotBelieved | None]:
    """What a question tells, and what of it is not believed."""
    copies: list[Copy] = []
    said = question(session.grammar, asking)
    why = ""
    for _ in range(TRIES):
        try:
            (reply,) = say(session.board, session.grammar, [said])
            copies.append(measured(session.grammar, asking, reply))
        except RefusedError as exc:
            why = str(exc)
            break
        except BoardError as exc:
            why = str(exc)
            continue
        if any(agree(copies[-1], copy) for copy in copies[:-1]):
            break
    readings = settled(copies)
    doubtful = told_by(asking)
    if len(copies) >= ENOUGH:
        once = told_once(copies)
        doubtful = tuple(dict.fromkeys(one.quantity for one in once))
        why = f"only one answer told {', '.join(map(str, once))}"
    if not doubtful:
        return readings, None
    asked = " / ".join(command.line for command in said.commands)
    return readings, NotBelieved(asked=asked, quantities=doubtful, why=why)


def _in_order(key: tuple[Quantity, int]) -> tuple[int, int]:
    quantity, number = key
    return tuple(Quantity).index(quantity), number

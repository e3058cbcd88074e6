"""How far a throw shall go and what is in its way, asked where no flag has said it."""

from collections.abc import Mapping
from typing import Final

from benchlink.console.roles import RoleBook
from benchlink.core.angles import Way
from benchlink.core.doors import Person
from benchlink.core.reading_words import Heard, read_words
from benchlink.core.roles import TILT_ROLES, OwnSide
from benchlink.core.settings import Snapshot
from benchlink.core.throw_ends import Stops
from benchlink.errors import UsageError
from benchlink.faces.arguments import Given

TRIES: Final = 3
"""How often one angle is asked for before nobody is thought to know it."""
UNKNOWN: Final = (
    "Nobody has said where the arm meets something solid: look and listen at each step."
)


def asked_angles(
    given: Given, held: Mapping[Way, str], person: Person
) -> dict[Way, float]:
    """How far each way, as a size; nothing where the board's own shall count.

    `held` is what the board has, in words; empty where it has none.

    Raises:
        UsageError: what was typed is no angle.
    """
    said = {Way.FORWARD: given.forward_deg, Way.AFT: given.aft_deg}
    asked: dict[Way, float] = {}
    for way, flag in said.items():
        else_ = f" (Enter: {held[way]}, as the board has it)" if held[way] else ""
        question = f"How far {way.value} shall the arm go, in degrees{else_}? "
        asked[way] = flag or _size(person, question, way) or 0.0
    return asked


def asked_stops(given: Given, person: Person) -> Stops:
    """Where the arm meets something solid each way, as far as somebody knows.

    Raises:
        UsageError: what was typed is no angle.
    """
    said = {Way.FORWARD: given.stop_forward_deg, Way.AFT: given.stop_aft_deg}
    found: dict[Way, float | None] = {}
    for way, flag in said.items():
        question = (
            f"Moved by hand, the rail off: how far {way.value} does the arm meet something"
            " solid, in degrees (Enter: nobody knows)? "
        )
        found[way] = flag or _size(person, question, way) or None
    stops = Stops(forward_deg=found[Way.FORWARD], aft_deg=found[Way.AFT])
    if not (stops.forward_deg and stops.aft_deg):
        person.tell(UNKNOWN)
    return stops


def held_words(
    sides: tuple[OwnSide, ...], book: RoleBook, snapshot: Snapshot
) -> dict[Way, str]:
    """How far the board has each way for these sides; empty where it does not say."""
    words: dict[Way, str] = {}
    for way in Way:
        roles = {side: TILT_ROLES[side].angle(way) for side in sides}
        told = {
            side: book.number(role, snapshot)
            for side, role in roles.items()
            if book.has(role)
        }
        sizes = [f"{side.value} {size:g}" for side, size in told.items() if size]
        words[way] = " and ".join(sizes) if len(sizes) == len(sides) else ""
    return words


def _size(person: Person, question: str, way: Way) -> float | None:
    """An angle as it is typed; None for Enter alone.

    Raises:
        UsageError: nothing that was typed is one.
    """
    for _ in range(TRIES):
        typed = person.types(question).strip()
        if not typed:
            return None
        heard = read_words(f"{typed} {way.value}")
        if not isinstance(heard, Heard):
            # Whoever wrote the way as well means the same.
            heard = read_words(typed)
        if isinstance(heard, Heard) and heard.angle_deg * way.sign > 0:
            return abs(heard.angle_deg)
        person.tell(
            f"{typed!r} is no angle {way.value}: a number of degrees, as in 36."
        )
    msg = f"nobody has said how far {way.value}"
    raise UsageError(msg, hint="Nothing moved. Begin the throw again.")

"""What a line may do to a board, beyond telling something or writing a value."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Final

from benchlink.core.plan import Moves


class Hazard(Enum):
    """One thing that a line may do, in words that go on from the line itself."""

    SERVO = "may move a servo"
    MOTOR = "may spin a motor"
    LINK = "may cut the link"
    RESTARTS = "restarts the board"
    ERASES = "loses settings"
    UNKNOWN = "is not known to the description of this console"


Hazards = frozenset[Hazard]

NO_HAZARD: Final[Hazards] = frozenset()
NOT_KNOWN: Final[Hazards] = frozenset({Hazard.UNKNOWN})
OF_MOVES: Final[Mapping[Moves, Hazards]] = {
    Moves.NOTHING: NO_HAZARD,
    Moves.SERVO: frozenset({Hazard.SERVO}),
    Moves.MOTOR: frozenset({Hazard.MOTOR}),
}


def hazard_words(hazards: Hazards) -> str:
    """All of them in one sentence, always in the same order."""
    return ", ".join(hazard.value for hazard in Hazard if hazard in hazards)


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """The settings that a line is meant to write."""

    names: tuple[str, ...]
    fields: Mapping[str, str]
    """How a line names them: the fields of its template, less the values."""


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """A line that is about certain settings and does nothing else."""

    aim: Aim
    writes: bool
    """Whether it writes them; else it asks for them."""
    values: tuple[str, ...] = ()
    """What it writes, as it spells that; nothing where it writes a whole row."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What a console has been told before, as far as the next bytes depend on it."""

    begun: str = ""
    """Typed, and not ended yet."""
    last: str | None = None
    """The line carried out last, for a console that repeats it; None: nobody knows."""
    aim: Aim | None = field(default=None)
    """What the next line is meant to write; without it no write counts as known."""


FRESH: Final = Typed()

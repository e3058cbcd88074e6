"""What may move when something is done, as it is told to a person before."""

from collections.abc import Iterable
from dataclasses import dataclass

from benchlink.core.plan import Moves


@dataclass(frozen=True, slots=True)
class MayMove:
    """One thing that may move."""

    words: str
    """A line for the person."""
    moves: Moves = Moves.SERVO

    def __str__(self) -> str:
        return self.words


def by_setting(name: str, moves: Moves) -> MayMove:
    """A setting that may move something when it is written."""
    return MayMove(f"{name}: may move a {moves.value}", moves)


def spins(moving: Iterable[MayMove]) -> bool:
    """Whether a motor is among it."""
    return any(one.moves is Moves.MOTOR for one in moving)

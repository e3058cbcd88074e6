"""What a fault is: parameters in, and how often it came to pass.

A fault is data: it can be printed, compared and used for many boards. What one board
makes of it stands in `Running`.
"""

from dataclasses import dataclass, field
from enum import Enum
from math import log, log1p
from typing import TYPE_CHECKING, ClassVar

if TYPE_CHECKING:
    from random import Random


class FaultError(Exception):
    """There is no such fault, or it cannot be so; says why."""


class Way(Enum):
    """A direction of the wire, as the board sees it."""

    RECEIVED = "received"
    """From the host to the board."""
    SENT = "sent"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """Something that goes wrong. Raises `FaultError` for parameters that cannot be."""

    name: ClassVar[str]

    def __post_init__(self) -> None:
        problem = self.problem()
        if problem is not None:
            msg = f"{self.name}: {problem}"
            raise FaultError(msg)

    def problem(self) -> str | None:
        """What is wrong with the parameters."""
        return None


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance(Fault):
    """A fault that picks its victims, by count or by chance: one of the two."""

    at: int = 0
    """The how-manieth; of bytes from power-up, of all else from when the fault came."""
    rate: float = 0.0
    """Of how many it hits, 0 to 1."""

    def problem(self) -> str | None:
        """Exactly one of the two is needed."""
        if (self.at > 0) == (self.rate > 0) or self.at < 0 or not 0 <= self.rate <= 1:
            return "needs either at=N, from 1, or rate=P, above 0 up to 1"
        return None


@dataclass(slots=True, kw_only=True)
class Running:
    """A fault at work in one board. Times are integer microseconds."""

    fault: Fault
    random: "Random"
    """For what a hit looks like."""
    chance: "Random"
    """For who is hit; apart, so that both stay the same however bytes are cut."""
    since_us: int
    """When the fault came."""
    fired: int = 0
    hit_write: int = 0
    """How often a write was being handled or on its way, or its answer was."""
    seen: int = 0
    """Victims that it could have hit so far."""
    spent: bool = False
    """What comes once has come."""
    until_us: int = 0
    """The end of a state that it has brought about."""
    _next: int | None = field(default=None, repr=False)

    def hits(self, chance: Chance) -> bool:
        """Whether the next victim is hit."""
        self.seen += 1
        if chance.at:
            return self.seen == chance.at
        return self.chance.random() < chance.rate

    def offsets(self, chance: Chance, first: int, count: int) -> list[int]:
        """Which of `count` bytes are hit, the first of which has the index `first`."""
        if chance.at:
            offset = chance.at - 1 - first
            return [offset] if 0 <= offset < count else []
        if self._next is None:
            self._next = first + self._gap(chance.rate)
        found = []
        while self._next < first + count:
            found.append(self._next - first)
            self._next += 1 + self._gap(chance.rate)
        return found

    def _gap(self, rate: float) -> int:
        """Bytes that are spared before the next hit: one draw a hit, not one a byte."""
        if rate >= 1:
            return 0
        return int(log(1 - self.chance.random()) / log1p(-rate))

"""Faults that come once, at an exact byte or time: the cable, a reset, a brown-out."""

from abc import abstractmethod
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING, ClassVar, final

from .fault import Fault, Way

if TYPE_CHECKING:
    from .device import Device

_US_PER_MS = 1000


class Path(Enum):
    """Under which name a port comes back."""

    SAME = "same"
    """Where the system allows it: a client that holds the old one forbids it."""
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull:
    """The cable is to come out. Times are integer microseconds."""

    at_us: int
    left: int | None = None
    """Bytes on their way to the host that still arrive; None: all that have passed."""
    back_us: int | None = None
    """When it goes in again; None: when somebody does it."""
    path: Path = Path.OTHER


@dataclass(frozen=True, slots=True, kw_only=True)
class Event(Fault):
    """Happens as soon as byte `at` of a way has passed, or after a time."""

    at: int = 0
    """The last byte that passes before it, from 1; counted as the wire faults do."""
    way: Way = Way.RECEIVED
    after_ms: int = 0
    """Since the fault came."""

    def problem(self) -> str | None:
        """Exactly one moment is needed."""
        if (self.at > 0) == (self.after_ms > 0) or min(self.at, self.after_ms) < 0:
            return "needs either at=N or after_ms=T, above 0"
        return None

    @property
    def after_us(self) -> int:
        """The time after which it happens; 0: it waits for a byte."""
        return self.after_ms * _US_PER_MS

    @abstractmethod
    def happen(self, device: "Device", now_us: int, left: int | None) -> None:
        """Do it; `left` bytes that were said still arrive, None: all passed ones."""


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class Unplugged(Event):
    """The cable comes out; the board goes on and does not notice."""

    name: ClassVar[str] = "unplugged"
    back_ms: int = 0
    """When it goes in again; 0: when somebody does it."""
    path: Path = Path.OTHER

    def happen(self, device: "Device", now_us: int, left: int | None) -> None:
        """Ask the line for it."""
        back_us = now_us + self.back_ms * _US_PER_MS if self.back_ms else None
        device.faults.pull = Pull(
            at_us=now_us, left=left, back_us=back_us, path=self.path
        )

    def problem(self) -> str | None:
        """It cannot come back before it went."""
        return "back_ms must not be below 0" if self.back_ms < 0 else _moment(self)


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class OwnRestart(Event):
    """The board restarts by itself."""

    name: ClassVar[str] = "restart by itself"

    def happen(self, device: "Device", now_us: int, left: int | None) -> None:
        """Reset."""
        device.reset(now_us, left)


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class BrownOut(Event):
    """The supply breaks down and comes back; a keep under way is done in part."""

    name: ClassVar[str] = "brown-out"
    at_keep: int = 0
    """In the middle of this keep, from 1, instead of at a byte or a time."""
    part: float = 0.5
    """How much of what a keep changes is in the store by then."""
    atomic: bool = False
    """The store takes a keep as a whole: one under way is not done at all."""

    def happen(self, device: "Device", now_us: int, left: int | None) -> None:
        """Tear a keep under way, and reset."""
        device.faults.values.tear(self, now_us)
        device.reset(now_us, left)

    def problem(self) -> str | None:
        """One moment, and a part of a whole."""
        if not 0 <= self.part <= 1:
            return "part must be 0 to 1"
        if self.at_keep < 0 or (self.at_keep and (self.at or self.after_ms)):
            return "needs one of at=N, after_ms=T, at_keep=N, above 0"
        return None if self.at_keep else _moment(self)


def _moment(event: Event) -> str | None:
    return Event.problem(event)

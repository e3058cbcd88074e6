"""What the device core needs from a console: typed bytes in, answers out."""

from collections import deque
from dataclasses import dataclass
from typing import Protocol, runtime_checkable


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What became of typed bytes."""

    upto: int
    """Index after the last byte used: all of them, or up to a line end."""
    say: bytes
    """Echo, and what a line without a command answers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """The answer to one command."""

    data: bytes
    stall_us: int = 0
    """Time in which the board does nothing else before it answers."""
    restart: bool = False
    """The board resets shortly after this answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BootLine:
    """Something said by itself after power-up."""

    after_us: int
    data: bytes


class Console(Protocol):
    """One console in front of an aircraft; it has no clock and no input queue."""

    commands: int
    """How many commands were carried out."""
    received: deque[str]
    """The last lines that were acted on."""

    @property
    def busy(self) -> bool:
        """A typed line still has commands to carry out."""
        ...

    def type(self, data: bytes | bytearray, start: int) -> Typed:
        """Take typed bytes from `start`, at most to the next line end."""
        ...

    def work(self, now_us: int) -> Said:
        """Carry out the next command of the typed line."""
        ...

    def boot(self) -> tuple[BootLine, ...]:
        """What is said after power-up; the board hears again after the last line."""
        ...

    def wipe(self) -> None:
        """Forget typed bytes and waiting commands."""
        ...


@runtime_checkable
class Timed(Protocol):
    """A console that also speaks unasked."""

    @property
    def due_us(self) -> int | None:
        """When it next wants to speak; 0: as soon as the board has booted."""
        ...

    def speak(self, now_us: int) -> bytes:
        """What it says now; sets the next time."""
        ...


@runtime_checkable
class Hearing(Protocol):
    """A console that knows when its bytes arrived."""

    def hear(self, data: bytes, now_us: int) -> bytes:
        """Bytes arrive at the input, before any waiting; gives what is let in."""
        ...

"""Which writes are on their way, being handled, or not yet answered.

Only to count how often a fault meets one. A line is a write by its words, as the host
sent it: damage does not make it another. Exact to a few bytes, where bytes got lost.
"""

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, final

_LINE_ENDS: Final = b"\r\n"


@dataclass(slots=True, kw_only=True)
class _Write:
    end: int
    """Index behind the last byte of its line, among those that the host has sent."""
    answered: int | None = None
    """How much the board has said with its answer; None: it is not carried out."""
    done_us: int = 0


@final
class Flight:
    """Follows the lines of one host. Times are integer microseconds."""

    def __init__(self, is_write: Callable[[str], bool]) -> None:
        self._is_write = is_write
        self._sent = 0
        self._typed = bytearray()
        self._writes: deque[_Write] = deque()

    def start(self, received: int) -> None:
        """Nothing is on its way to a board that has received so much."""
        self._writes = deque(w for w in self._writes if w.end <= received)
        self._typed.clear()
        self._sent = received

    def push(self, data: bytes) -> None:
        """The host sends."""
        for byte in data:
            self._sent += 1
            if byte not in _LINE_ENDS:
                self._typed.append(byte)
                continue
            if self._is_write(self._typed.decode("latin-1")):
                self._writes.append(_Write(end=self._sent))
            self._typed.clear()

    def expect(self, data: bytes, received: int) -> None:
        """Bytes arrive: what was not told of was sent just now."""
        unknown = received + len(data) - self._sent
        if unknown > 0:
            self.push(data[-unknown:])

    def handled(self, taken: int, said: int, done_us: int) -> None:
        """All lines among the `taken` bytes are carried out and answered.

        Args:
            taken: Bytes that the host has sent and the board has used.
            said: How much the board has said, with the answer to the last of them.
            done_us: When the board is done with it.
        """
        for write in self._writes:
            if write.end <= taken and write.answered is None:
                write.answered, write.done_us = said, done_us

    def wrote(self, taken: int) -> None:
        """A write was carried out, whatever its line looked like."""
        if not any(w.end <= taken and w.answered is None for w in self._writes):
            self._writes.appendleft(_Write(end=taken))

    def reset(self, received: int) -> None:
        """The board forgets what it has received."""
        self._writes = deque(w for w in self._writes if w.end > received)

    def is_open(self, collected: int, now_us: int) -> bool:
        """Whether a write is under way; the host has taken `collected` bytes."""
        self._writes = deque(
            w
            for w in self._writes
            if w.answered is None or w.answered > collected or w.done_us > now_us
        )
        return bool(self._writes) or self._is_write(self._typed.decode("latin-1"))

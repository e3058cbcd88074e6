"""A stream of bytes over a wire of a given speed, in exact arithmetic.

Ten bits a byte. Byte k of an unbroken run that began at `start` has passed at
`start + ceil(k * 10 s / baud)`: times come from byte counts, never from a sum of
rounded steps, so a long transfer takes exactly its time.
"""

from collections import deque
from dataclasses import dataclass, field
from typing import Final, final

_US_PER_S: Final = 1_000_000
_BITS_PER_BYTE: Final = 10
_SCALE: Final = _BITS_PER_BYTE * _US_PER_S


@dataclass(slots=True, kw_only=True)
class _Run:
    """Bytes that follow each other without a gap."""

    start_us: int
    passed: int = 0
    waiting: bytearray = field(default_factory=bytearray)


@final
class PacedStream:
    """Bytes on their way; `baud` 0 lets them pass at once."""

    def __init__(self, baud: int) -> None:
        self._baud = baud
        self._runs: deque[_Run] = deque()

    def __len__(self) -> int:
        return sum(len(run.waiting) for run in self._runs)

    def span_us(self, count: int) -> int:
        """Time that `count` bytes take, rounded up."""
        return -(-count * _SCALE // self._baud) if self._baud else 0

    @property
    def end_us(self) -> int:
        """When the last byte has passed (0 before the first)."""
        if not self._runs:
            return 0
        last = self._runs[-1]
        return last.start_us + self.span_us(last.passed + len(last.waiting))

    def push(self, data: bytes, at_us: int) -> None:
        """Queue bytes that are ready at `at_us`; times must not run backwards."""
        if not data:
            return
        if not self._runs or at_us > self.end_us:
            self._runs.append(_Run(start_us=at_us))
        self._runs[-1].waiting += data

    def take(self, now_us: int, most: int | None = None) -> bytes:
        """The bytes that have passed since the last call; no more than `most`."""
        out = bytearray()
        while self._runs:
            run = self._runs[0]
            count = self._passed(run, now_us) - run.passed
            if most is not None:
                count = min(count, most - len(out))
            out += run.waiting[:count]
            del run.waiting[:count]
            run.passed += max(0, count)
            if run.waiting or len(self._runs) == 1:
                break
            self._runs.popleft()
        return bytes(out)

    def due_us(self, count: int) -> int | None:
        """When the next `count` bytes (or all of this run) will have passed."""
        for run in self._runs:
            if run.waiting:
                upto = run.passed + min(count, len(run.waiting))
                return run.start_us + self.span_us(upto)
        return None

    def passes_us(self, count: int) -> int | None:
        """When exactly `count` of the bytes not taken have passed; None: never yet."""
        for run in self._runs:
            if count <= len(run.waiting):
                return run.start_us + self.span_us(run.passed + count)
            count -= len(run.waiting)
        return None

    def keep(self, count: int) -> None:
        """Lose all bytes that have not been taken but the first `count`."""
        for run in self._runs:
            del run.waiting[count:]
            count -= len(run.waiting)

    def clear(self) -> None:
        """Lose all bytes that have not been taken."""
        self._runs.clear()

    def cut(self, now_us: int) -> None:
        """Lose the bytes that have not passed yet."""
        while self._runs and self._runs[-1].start_us > now_us:
            self._runs.pop()
        for run in self._runs:
            del run.waiting[self._passed(run, now_us) - run.passed :]

    def drain_into(self, other: "PacedStream") -> None:
        """Hand the waiting bytes, with their times, to another stream."""
        for run in self._runs:
            other.push(bytes(run.waiting), run.start_us + self.span_us(run.passed))
        self._runs.clear()

    def _passed(self, run: _Run, now_us: int) -> int:
        if now_us < run.start_us:
            return run.passed
        total = run.passed + len(run.waiting)
        if not self._baud:
            return total
        return min(total, (now_us - run.start_us) * self._baud // _SCALE)

"""The wire between host and board: speed, and the adapter's habit of holding bytes.

Pure and in virtual time. Bytes reach the board one by one at the wire's speed, and
the board prints into a transmitter of the same speed.
"""

from typing import TYPE_CHECKING, Final, final

from .fault_events import Path
from .pace import PacedStream

if TYPE_CHECKING:
    from .device import Device
    from .options import Options

CHUNK: Final = 8
"""Bytes of an unbroken run that may pass before the host is woken for them."""


@final
class Line:
    """A device behind an adapter. Times are integer microseconds and never fall."""

    def __init__(self, device: "Device", options: "Options") -> None:
        self.device = device
        self._delay_us = options.adapter_delay_us
        self._to_board = PacedStream(options.baud)
        self._from_board = PacedStream(options.printing_baud)
        device.connect(self._from_board)
        self.plugged = True
        self.pulls = 0
        """How often a fault has taken the cable out."""
        self.path = Path.SAME
        """How it came back the last time."""
        self._left = b""
        self._back: tuple[int, Path] | None = None

    @property
    def on_the_way(self) -> int:
        """Bytes that have left the host and not reached the board."""
        return len(self._to_board)

    def to_board(self, data: bytes, now_us: int) -> None:
        """The host sends."""
        self.advance(now_us)
        if not self.plugged:
            return
        if self.device.faulty:
            self.device.faults.flight.push(data)
        self._to_board.push(data, now_us)
        self.advance(now_us)

    def from_board(self, now_us: int) -> bytes:
        """What the adapter hands to the host now."""
        self.advance(now_us)
        if self._left or not self.plugged:
            return self._take_left(now_us)
        first_us = self._from_board.due_us(1)
        if first_us is None or now_us < first_us + self._delay_us:
            return b""
        return self.device.take(now_us)

    def next_us(self, now_us: int) -> int | None:
        """When to look again; None: only after the host has sent something."""
        if self._left:
            return now_us
        due = (
            self.device.wake_us(),
            self._to_board.due_us(CHUNK),
            self._handover_us(),
        )
        known = [at for at in due if at is not None]
        if self._back is not None:
            known.append(self._back[0])
        return max(now_us, min(known)) if known else None

    def advance(self, now_us: int) -> None:
        """Let everything happen, in its order, up to now."""
        if self.device.faulty or self._back is not None:
            self._advance_badly(now_us)
            return
        while (first := self._to_board.due_us(1)) is not None and first <= now_us:
            self.device.advance(first)
            # All that arrives while the board is busy meets the same buffer.
            upto = min(now_us, max(first, self.device.free_us - 1))
            self.device.receive(self._to_board.take(upto), upto)
        self.device.advance(now_us)

    def unplug(self, now_us: int) -> None:
        """Lose what is on the way; the board goes on and does not notice."""
        self.advance(now_us)
        self._to_board.clear()
        self.device.faults.flight.start(self.device.received)
        self.device.take(now_us)

    def put_in(self, now_us: int, path: Path = Path.OTHER) -> None:
        """The cable is in again; what the board said meanwhile is lost."""
        self.device.take(now_us)
        self.plugged = True
        self.path = path
        self._back = None

    def _take_left(self, now_us: int) -> bytes:
        """What had left the board before the cable came out, and what came after."""
        left, self._left = self._left, b""
        if self.plugged:
            return left + self.from_board(now_us)
        self.device.take(now_us)
        return left

    def _advance_badly(self, now_us: int) -> None:
        """The same on a board with faults: they part bytes that else go together."""
        device = self.device
        while True:
            self._pulled()
            first = self._to_board.due_us(1)
            if first is not None and first <= now_us:
                device.advance(first)
                if not self._pulled():
                    self._deliver(first, now_us)
            elif self._back is not None and self._back[0] <= now_us:
                device.advance(self._back[0])
                self.put_in(*self._back)
            else:
                device.advance(now_us)
                if not self._pulled():
                    return

    def _deliver(self, first_us: int, now_us: int) -> None:
        """Bytes reach the board, up to the next one that a fault waits for."""
        faults = self.device.faults
        upto = min(now_us, max(first_us, self.device.free_us - 1))
        count = faults.until_received()
        marks = (
            None if count is None else self._to_board.due_us(count),
            faults.until_us(first_us),
        )
        upto = min((upto, *(at for at in marks if at is not None)))
        self.device.receive(self._to_board.take(upto), upto)

    def _pulled(self) -> bool:
        """Take the cable out if a fault says so."""
        pull = self.device.faults.take_pull()
        if pull is None:
            return False
        self._left += self.device.take(pull.at_us, pull.left)
        self._to_board.clear()
        self.device.faults.flight.start(self.device.received)
        self.plugged = False
        self.pulls += 1
        self._back = None if pull.back_us is None else (pull.back_us, pull.path)
        return True

    def _handover_us(self) -> int | None:
        if not self._delay_us:
            return self._from_board.due_us(CHUNK)
        first_us = self._from_board.due_us(1)
        return None if first_us is None else first_us + self._delay_us

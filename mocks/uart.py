"""The wire between host and board: speed, and the adapter's habit of holding bytes.

Pure and in virtual time. Bytes reach the board one by one at the wire's speed, and
the board prints into a transmitter of the same speed.
"""

from typing import TYPE_CHECKING, Final, final

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

    @property
    def on_the_way(self) -> int:
        """Bytes that have left the host and not reached the board."""
        return len(self._to_board)

    def to_board(self, data: bytes, now_us: int) -> None:
        """The host sends."""
        self.advance(now_us)
        self._to_board.push(data, now_us)
        self.advance(now_us)

    def from_board(self, now_us: int) -> bytes:
        """What the adapter hands to the host now."""
        self.advance(now_us)
        first_us = self._from_board.due_us(1)
        if first_us is None or now_us < first_us + self._delay_us:
            return b""
        return self._from_board.take(now_us)

    def next_us(self, now_us: int) -> int | None:
        """When to look again; None: only after the host has sent something."""
        due = (
            self.device.wake_us(),
            self._to_board.due_us(CHUNK),
            self._handover_us(),
        )
        known = [at for at in due if at is not None]
        return max(now_us, min(known)) if known else None

    def advance(self, now_us: int) -> None:
        """Let everything happen, in its order, up to now."""
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
        self._from_board.take(now_us)

    def _handover_us(self) -> int | None:
        if not self._delay_us:
            return self._from_board.due_us(CHUNK)
        first_us = self._from_board.due_us(1)
        return None if first_us is None else first_us + self._delay_us

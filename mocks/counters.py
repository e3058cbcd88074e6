"""What passed between host and board, for measurements."""

from dataclasses import dataclass


@dataclass(slots=True, kw_only=True)
class Counters:
    """Bytes accepted from and sent to the host; monotonic times in microseconds."""

    received: int = 0
    sent: int = 0
    first_us: int | None = None
    """Of the first byte received."""
    last_us: int | None = None
    """Of the last byte sent."""

    def count_received(self, count: int, at_us: int) -> None:
        """Bytes came from the host."""
        self.received += count
        if count and self.first_us is None:
            self.first_us = at_us

    def count_sent(self, count: int, at_us: int) -> None:
        """Bytes went to the host."""
        self.sent += count
        if count:
            self.last_us = at_us

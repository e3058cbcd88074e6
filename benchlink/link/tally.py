"""What a connection has carried; one tally outlives restarts and new wires."""

import threading
from collections import deque
from typing import Final, final

from benchlink.core.doors import LinkHealth
from benchlink.core.exchange import Answer, Verdict

CHATTER_LINES: Final = 200
"""Unasked lines that are remembered."""

OVERHEARD_BYTES: Final = 4 * 1024 * 1024
"""Bytes kept for whoever listens along and does not come; the oldest go first."""


@final
class Tally:
    """Counted by the link thread, read by any."""

    def __init__(self) -> None:
        self._lock: Final = threading.Lock()
        self._chatter: Final[deque[str]] = deque(maxlen=CHATTER_LINES)
        self._overheard: bytearray | None = None
        """None until somebody listens along."""
        self.sent = 0
        self.received = 0
        self.reboots = 0
        """How often the board started by itself: each begins an epoch."""
        self._answers = 0
        self._damaged = 0

    def count(self, answer: Answer) -> None:
        """One more answer."""
        self._answers += 1
        self._damaged += not answer.trusted

    def hear(self, data: bytes) -> None:
        """Bytes came from the board."""
        self.received += len(data)
        if self._overheard is None:
            return
        with self._lock:
            self._overheard += data
            del self._overheard[:-OVERHEARD_BYTES]

    def overheard(self) -> bytes:
        """All that came since the last look; nothing is kept before the first one."""
        with self._lock:
            heard, self._overheard = self._overheard, bytearray()
        return bytes(heard or b"")

    def unasked(self, line: str) -> None:
        """The board said something by itself."""
        with self._lock:
            self._chatter.append(line)

    def not_done(self, answer: Answer) -> None:
        """A live line nobody waits for was not carried out: said with the chatter."""
        if answer.verdict is not Verdict.OK:
            said = answer.remark or answer.verdict.value
            self.unasked(f"`{answer.command.line}`: {said}")

    def health(self) -> LinkHealth:
        """As it stands now."""
        with self._lock:
            chatter = tuple(self._chatter)
        return LinkHealth(
            sent_bytes=self.sent,
            received_bytes=self.received,
            answers=self._answers,
            damaged=self._damaged,
            chatter=chatter,
        )

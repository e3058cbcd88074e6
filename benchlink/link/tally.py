"""What a connection has carried; one tally outlives restarts and new wires."""

import threading
from collections import deque
from typing import Final, final

from benchlink.core.doors import LinkHealth
from benchlink.core.exchange import Answer, Verdict

CHATTER_LINES: Final = 200
"""Unasked lines that are remembered."""


@final
class Tally:
    """Counted by the link thread, read by any."""

    def __init__(self) -> None:
        self._lock: Final = threading.Lock()
        self._chatter: Final[deque[str]] = deque(maxlen=CHATTER_LINES)
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

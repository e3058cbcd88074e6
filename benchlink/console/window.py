"""How many unanswered bytes a board is given: never more than it can hold.

Starts with one command at a time, grows to the declared size with each answer that
proved itself, and falls back to one at a time for good after the first that did not.
"""

from typing import Final, final

UNDECLARED_BYTES: Final = 64
"""Window for a board whose input buffer nobody has described."""


@final
class Window:
    """Counts the bytes that the board has not answered yet."""

    def __init__(self, declared_bytes: int = UNDECLARED_BYTES) -> None:
        self._declared: Final = declared_bytes
        self._allowed = 0
        self._collapsed = False
        self.unanswered = 0
        """Bytes sent and not yet released by an answer."""

    @property
    def allowed(self) -> int:
        """Bytes that may be unanswered now; 0 means one command at a time."""
        return 0 if self._collapsed else self._allowed

    def admits(self, count: int) -> bool:
        """Whether `count` more bytes may be sent."""
        return self.unanswered == 0 or self.unanswered + count <= self.allowed

    def sent(self, count: int) -> None:
        """Bytes have left."""
        self.unanswered += count

    def answered(self, count: int, *, trusted: bool) -> None:
        """An answer releases its command's bytes, and earns or loses trust."""
        self.released(count)
        if trusted:
            self._allowed = min(self._declared, max(2 * self._allowed, 2 * count))
        else:
            self._collapsed = True

    def released(self, count: int) -> None:
        """Bytes that were sent before the board listened: that proves nothing."""
        self.unanswered = max(0, self.unanswered - count)

    def emptied(self) -> None:
        """The board forgot everything it had been sent."""
        self.unanswered = 0

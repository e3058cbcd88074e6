"""The board's lamp: it answers "which board is this?"."""

from typing import Final, final

PERIOD_MS: Final = 200
"""One blink, on and off."""


@final
class Lamp:
    """Counts its blinks; a new order replaces the one that is running."""

    def __init__(self) -> None:
        self._start_us = 0
        self._ordered = 0
        self._before = 0

    def blink(self, span_ms: int, now_us: int) -> None:
        """Blink for `span_ms`, at least once."""
        self._before = self.blinks(now_us)
        self._start_us = now_us
        self._ordered = max(1, span_ms // PERIOD_MS)

    def blinks(self, now_us: int) -> int:
        """Blinks begun so far."""
        begun = (now_us - self._start_us) // (PERIOD_MS * 1000) + 1
        return self._before + min(self._ordered, begun)

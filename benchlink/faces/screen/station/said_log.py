"""What a station has said, wrapped for the width there is."""

from collections import deque
from typing import Final, final

from textual import events
from textual.widgets import RichLog

from benchlink.faces.screen.frame.page import Page
from benchlink.faces.screen.frame.safe_text import plain_lines

MOST: Final = 2000
"""What is remembered of a station; more scrolls away for good."""
AT_ONCE: Final = 100
"""Texts that are written in one go: no key waits for a long log that is wrapped anew."""


@final
class SaidLog(RichLog):
    """Takes texts at any time; those said while it does not show come when it does."""

    def __init__(self) -> None:
        super().__init__(id="log", max_lines=MOST, wrap=True, markup=False, min_width=0)
        self.can_focus = False
        self._said: Final[deque[str]] = deque(maxlen=MOST)
        """All that a log of another width is written from."""
        self._late: Final[deque[str]] = deque()
        """Said, and not written yet."""
        self._cells = 0
        """The width that it was written for."""
        self._looks_back = False

    def say(self, text: str) -> None:
        """One text more."""
        self._looks_back = False
        self._said.append(text)
        self._late.append(text)
        self._write_late()

    def fit(self, cells: int) -> None:
        """Write all of it for a width, once that is there."""
        if self._cells not in {0, cells}:
            self.clear()
            self._late.clear()
            self._late.extend(self._said)
        self._cells = cells
        self.call_after_refresh(self._write_late)

    def look_back(self, pages: int) -> None:
        """Move by whole pages, back where they are below 0."""
        self.scroll_relative(y=pages * max(1, self.size.height - 1), animate=False)
        self.call_after_refresh(self._see_where)

    def on_resize(self, event: events.Resize) -> None:  # noqa: ARG002 - textual's shape
        """A scene or a longer question takes lines away: the last word stays in sight."""
        if not self._looks_back:
            self.scroll_end(animate=False)

    def _see_where(self) -> None:
        self._looks_back = not self.is_vertical_scroll_end

    def _write_late(self) -> None:
        """A log that does not show has no width, and would swallow lines."""
        if isinstance(self.screen, Page) and self.screen.is_small:
            return
        for _ in range(min(AT_ONCE, len(self._late))):
            for line in plain_lines(self._late.popleft()).split("\n"):
                self.write(line)
        if self._late:
            self.call_after_refresh(self._write_late)

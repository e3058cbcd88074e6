"""Where a talk is shown at a terminal: what is sent, with the time, and what comes."""

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Final, final

from benchlink.faces.wording import plain

Print = Callable[[str], None]


@final
class ShellPage:
    """Prints at once, or keeps lines while a prompt stands there."""

    def __init__(self, give: Print, now: Callable[[], datetime]) -> None:
        self._print: Final = give
        self._now: Final = now
        self._kept: Final[list[str]] = []
        self.keeps = False
        """Whether a prompt stands there, over which nothing may be printed."""

    def sent(self, line: str) -> None:
        """A line leaves now."""
        self._give(f"{self._now():%H:%M:%S} > {plain(line)}")

    def said(self, lines: Sequence[str]) -> None:
        """The board said this."""
        for line in lines:
            self._give(plain(line))

    @property
    def waits(self) -> bool:
        """Whether lines were kept."""
        return bool(self._kept)

    def show(self) -> None:
        """Print what was kept."""
        kept = self._kept.copy()
        self._kept.clear()
        for line in kept:
            self._print(line)

    def _give(self, line: str) -> None:
        if self.keeps:
            self._kept.append(line)
        else:
            self._print(line)

"""What crosses a command on its way: said before the board had it, so no answer to it.

Only a board without an echo leaves this open. It says a log line while a command is
still under way, and its prompt again behind it: that prompt ends nothing.
"""

from typing import Final, final

from benchlink.console.framing import Framing
from benchlink.console.pace import Pace
from benchlink.console.receiving import Receiving
from benchlink.console.terminal import Line
from benchlink.units import Seconds

PRINTED_AHEAD: Final = 256
"""Bytes that a board may have handed to its printer and that still have to come when a
command arrives: as many as a common ring buffer takes."""

LINE_ENDS: Final = b"\r\n"


@final
class Crossing:
    """Watches the prompts that come while an answer is expected."""

    def __init__(self, framing: Framing, pace: Pace) -> None:
        self._framing: Final = framing
        self._pace: Final = pace
        self.possible: Final = not framing.echoes
        """Whether the console leaves it open: an echo proves that a command arrived."""
        self._behind_chatter = False
        self.prompt_bytes = 0
        """So many bytes of the unfinished line are a prompt that crossed the command."""

    def look(self, receiving: Receiving, size: int, now: Seconds) -> None:
        """The unfinished line, of so many bytes, is a prompt."""
        crossed = self._crossed(receiving, size, now)
        self.prompt_bytes = size if crossed else 0
        # One more prompt behind this one is not the chatter's.
        self._behind_chatter = False

    def holds(self, receiving: Receiving | None, line: Line, ended: Seconds) -> bool:
        """Whether a line that ended then is nothing but a prompt that crossed."""
        if receiving is None or receiving.begun:
            return False
        prompt = self._framing.is_prompt(line.text)
        size = len(line.raw.rstrip(LINE_ENDS))
        crossed = prompt and self._crossed(receiving, size, ended)
        self.prompt_bytes = 0
        self._behind_chatter = self._framing.is_chatter(line.text)
        return crossed

    def over(self) -> None:
        """An answer ended."""
        self.prompt_bytes = 0
        self._behind_chatter = False

    def _crossed(self, receiving: Receiving, size: int, now: Seconds) -> bool:
        if not self.possible or receiving.begun:
            # A line of the answer proves that the command has arrived as well.
            return False
        fresh = max(0, size - self.prompt_bytes)
        if not fresh:
            return True
        begun = now - self._pace.took(fresh)
        ahead = self._pace.took(PRINTED_AHEAD) if self._behind_chatter else 0.0
        return begun < receiving.pending.arrives + ahead

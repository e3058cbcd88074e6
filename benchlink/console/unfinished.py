"""The unfinished line: whether it is a prompt, and whether that stands still."""

from typing import Final, final

from benchlink.console.framing import LONGEST_PROMPT, Framing
from benchlink.console.terminal import Line, Terminal
from benchlink.console.waking import Waking
from benchlink.core.stray import shown
from benchlink.units import Seconds

SETTLE: Final = Seconds(0.02)
"""A prompt followed by this much silence stands still. Longer than the 16 ms after
which common USB serial adapters hand over what they hold."""

LONGEST_SHARED: Final = 4096
"""Bytes of an unfinished line that may still end in a prompt, where words of an answer
may stand before it."""

HEARD_SHOWN: Final = 60
"""How much of a line that never ended is shown."""


@final
class Unfinished:
    """Looks at the last line of the terminal."""

    def __init__(
        self, framing: Framing, terminal: Terminal, waking: Waking, now: Seconds
    ) -> None:
        self._manner: Final = framing.manner
        self._framing: Final = framing
        self._terminal: Final = terminal
        self._waking: Final = waking
        self._longest: Final = (
            LONGEST_SHARED if framing.manner.prompt_after_text else LONGEST_PROMPT
        )
        self._stale = b""
        """What stood there before a doubt: as a prompt it proves nothing."""
        self.last_heard = now

    def heard(self, now: Seconds, *, line_ended: bool) -> None:
        """Bytes came."""
        self.last_heard = now
        if line_ended:
            self._stale = b""

    def doubted(self) -> None:
        """What stands there now proves nothing any more."""
        self._stale = self._terminal.partial_raw

    @property
    def may_be_prompt(self) -> bool:
        """Whether anything stands there, and no more than is worth looking at."""
        return 0 < self._terminal.partial_size <= self._longest

    @property
    def at_prompt(self) -> bool:
        """Whether a prompt stands there, alone or behind words that may share its line."""
        if not self.may_be_prompt:
            return False
        if self._waking.banner_due:
            return False
        if self._stale and self._terminal.partial_raw == self._stale:
            return False
        partial = self._terminal.partial
        return self._framing.is_prompt(partial) or bool(
            self._framing.before_prompt(partial)
        )

    @property
    def settles_at(self) -> Seconds:
        """When it stands still if no more comes."""
        return Seconds(self.last_heard + SETTLE)

    def stands_still(self, now: Seconds) -> bool:
        """Whether a prompt stands there, and nothing has come behind it."""
        return now >= self.last_heard + SETTLE and self.at_prompt

    def listens(self, now: Seconds) -> bool:
        """Whether the board has shown that it waits for a command."""
        if now < self._waking.deaf_until:
            return False
        if self._manner.prompt is None:
            # Whatever follows at once answers a hello from before: not the next line.
            return self._waking.greeted and now >= self.last_heard + SETTLE
        return self.stands_still(now)

    @property
    def missing(self) -> str:
        """Why an answer that did not end counts as missing."""
        heard = self._terminal.partial[-HEARD_SHOWN:]
        if self._manner.prompt is None or not heard.strip() or self.at_prompt:
            return "nothing came in time"
        why = " (`prompt-after-text:`?)" if self._framing.sharing(heard) else ""
        return f"no prompt seen; heard `{shown(heard)}`{why}"

    def end_before_prompt(self) -> Line | None:
        """What stands before the prompt, in its line, is a line like any other."""
        partial = self._terminal.partial
        before = self._framing.before_prompt(partial)
        if not before:
            return None
        return self._terminal.end_before(partial.removeprefix(before))

    def line_under(self, under: str) -> Line | None:
        """A prompt that was drawn anew may have taken the end of an answer with it."""
        before = self._framing.before_prompt(under).removesuffix(" ")
        if not before:
            return None
        charset = self._manner.charset
        return Line(before, charset.said(before) + b"\r\n", charset=charset)

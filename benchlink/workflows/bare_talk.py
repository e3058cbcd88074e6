"""Talking to a board whose console nobody has described: every line is held.

Nobody knows what any line does, what ends an answer, or which byte gives a line up. What
the board says is shown as it comes; whether anything changed, nothing can tell.
"""

from typing import Final, final

from benchlink.console.charset import Charset
from benchlink.console.description import LineEnd
from benchlink.console.offers import Offers
from benchlink.console.overheard import Overheard
from benchlink.console.plain_line import why_no_character
from benchlink.console.talking import MAY_MOVE
from benchlink.core.cautions import CUT_THE_POWER
from benchlink.core.doors import BareLine, Person
from benchlink.workflows.talk_outcome import (
    AGAIN,
    Fate,
    Outcome,
    Page,
    Parting,
    not_sent,
)

ENTER: Final = "enter"
"""What is typed once more for a line end alone."""


@final
class BareTalk:
    """Like a talk with a described board, but nothing is known; used on one thread."""

    def __init__(
        self,
        bare: BareLine,
        person: Person,
        page: Page,
        end: LineEnd,
    ) -> None:
        """`end` is what ends each line."""
        self._bare: Final = bare
        self._person: Final = person
        self._page: Final = page
        self._end: Final = end.value
        self._heard: Final = Overheard()
        self.offers: Final = Offers(())

    def line(self, text: str) -> Outcome:
        """Hold one typed line until it was typed once more, and send it.

        Raises:
            PortLostError: the port went away.
        """
        self.listen()
        why = why_no_character(text, Charset.UNSAID)
        if why:
            return not_sent(text, Fate.REFUSED, why)
        if not text.strip():
            hint = "Nothing was sent. `..enter` sends a line end alone."
            return not_sent(text, Fate.REFUSED, "an empty line may do something", hint)
        return self._held(text, text)

    def enter(self) -> Outcome:
        """Send a line end alone, once that was asked for.

        Raises:
            PortLostError: the port went away.
        """
        return self._held("", ENTER)

    def listen(self) -> None:
        """Show what the board said unasked.

        Raises:
            PortLostError: the port went away.
        """
        lines = self._heard.feed(self._bare.overheard())
        if lines:
            self._page.said(lines)

    def stop(self) -> None:
        """Nobody knows how; says so."""
        self._person.tell("NOT stopped: nobody has described how this board stops.")
        self._person.tell(CUT_THE_POWER)

    def abandon(self) -> Outcome:
        """Nobody knows by which key; says so."""
        why = "nobody has described a key that gives a line up on this console"
        return not_sent("", Fate.REFUSED, why)

    def leave(self) -> Parting:
        """Nothing can be compared."""
        self.listen()
        return Parting(changed=(), unkept=(), compared=False)

    def _held(self, line: str, again: str) -> Outcome:
        self._person.tell(f"Nobody has described what this board makes of `{again}`.")
        self._person.tell(MAY_MOVE)
        if self._person.types(AGAIN) != again:
            return not_sent(line, Fate.HELD, f"`{again}` was not typed again")
        self._page.sent(line)
        self._bare.say(line.encode("ascii") + self._end, self.listen)
        rest = self._heard.rest()
        if rest:
            self._page.said(rest)
        return Outcome(line=line, fate=Fate.SENT)

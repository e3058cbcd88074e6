"""When the answers last came forward: how long a silence has lasted.

A finished line that is part of an answer is a step. Between two steps a wire that is
busy is not silent: a long line, or an echo that is drawn again with each character,
takes longer on a slow wire than a board may keep silent. Bytes count for no more time
than they can have taken, so that a dead board that still says a dot now and then gains
nothing, and only so many of them, so that one which babbles for ever is given up. An
answer that has begun may draw dots for longer than its bytes take, but not for ever.
"""

from typing import Final, final

from benchlink.console.lanes import Pending
from benchlink.console.pace import Pace
from benchlink.console.receiving import Receiving
from benchlink.core.exchange import Ending
from benchlink.units import Seconds

SLOWEST_BYTE: Final = Seconds(0.01)
"""Time a byte of a board that types 100 characters a second, whatever the wire can."""

MOST_BYTES: Final = 65_536
"""Bytes without a step after which nothing more counts: far more than an echo drawn
with each of its characters, or a listing in one line."""

SLOW_LINE: Final = Seconds(0.5)
"""A line that still has no end after this is drawn slowly; one of chatter is not."""

LONGEST_DRAWING: Final = Seconds(30.0)
"""How long an answer may draw one line, a dot now and a dot then, without a step."""


@final
class Progress:
    """Fed with what came and with the steps it made."""

    def __init__(self, pace: Pace, now: Seconds) -> None:
        self._byte: Final = pace.span(1)
        self._stepped = self._came = self._drew = self._line_begun = now
        self._bytes = self._standing = 0

    def heard(
        self, count: int, standing: int, now: Seconds, *, line_ended: bool
    ) -> None:
        """Bytes came; so many stand in the unfinished line."""
        if line_ended or not self._standing:
            self._line_begun = now
        self._bytes += count
        self._standing = standing
        if self._bytes <= MOST_BYTES:
            self._came = now

    def draws(self, now: Seconds) -> None:
        """An answer that has begun draws its line: dots, a countdown."""
        slow = now >= self._line_begun + SLOW_LINE
        if slow and self._bytes <= MOST_BYTES:
            self._drew = Seconds(min(now, self._stepped + LONGEST_DRAWING))

    def step(self, at: Seconds) -> None:
        """An answer came forward, or could not have begun before."""
        self._stepped = at
        self._bytes = 0

    def overdue_at(self, oldest: Pending) -> Seconds:
        """When the oldest command in flight counts as unanswered."""
        since = max(self._last, self._drew, oldest.arrives)
        return Seconds(since + oldest.command.answer_within)

    def quiet_at(self, receiving: Receiving | None) -> Seconds | None:
        """When silence ends the answer that is being received, if silence does."""
        if receiving is None or receiving.pending.command.form.ends is not Ending.QUIET:
            return None
        form = receiving.pending.command.form
        if receiving.lines or receiving.status:
            return Seconds(self._last + form.quiet)
        return None if form.needs_word else self.overdue_at(receiving.pending)

    @property
    def _last(self) -> Seconds:
        """The moment from which silence counts."""
        if self._came <= self._stepped:
            return self._stepped
        taken = max(self._byte * self._bytes, SLOWEST_BYTE * self._standing)
        return Seconds(min(self._came, self._stepped + taken))

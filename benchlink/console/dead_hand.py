"""The end of a motor's run, from our side: whoever froze or died sends no stop.

A burst is timed by the board and proven to end there. Beside that, when its time is over
and no newer line of the person's has come, the link sends the stop by itself, and says
it again until the board has taken it. The run that proves the board's own end is left
alone for as long as the proof looks, and no longer.
"""

from typing import Final, final

from benchlink.core.exchange import ACTED, Command, Verdict
from benchlink.core.gate import Kind
from benchlink.core.spin_expiry import LOOKS_FOR
from benchlink.units import Seconds

REPEATS: Final = 3
"""How often a stop that the board did not take is said again."""

PROOF_TAKES: Final = Seconds(LOOKS_FOR + 1.0)
"""Beyond the ordered run: whoever proves has looked by then, or does nothing any more."""


@final
class DeadHand:
    """Watches the permits of motors; times are those of the link."""

    def __init__(self, stop: Command | None = None) -> None:
        self.stop: Final = stop
        """What ends every motion; None where the console cannot be told."""
        self.due: Seconds | None = None
        """When the stop is due, unless a newer run begins before."""
        self._ticket: int | None = None
        """Of the stop that was said from here and is not answered."""
        self._repeats = 0

    def left(self, command: Command, arrives: Seconds) -> None:
        """A line is on its way and will be there at that time."""
        permit = command.permit
        if permit is None or permit.motion.kind is not Kind.MOTOR or not self.stop:
            return
        # The run that proves the board's own end must not be ended from here too soon.
        more = PROOF_TAKES if permit.motion.proving else Seconds(0.0)
        self.due = Seconds(arrives + permit.motion.run_for + more)

    def over(self, now: Seconds) -> bool:
        """Whether the stop has to leave now."""
        return self.due is not None and now >= self.due

    def said(self, ticket: int) -> None:
        """Its time was over: the stop waits for the wire under this ticket."""
        self.due, self._ticket, self._repeats = None, ticket, 0

    def again(self, ticket: int, verdict: Verdict) -> bool:
        """Whether an answer means that the stop has to be said once more, and is not."""
        if ticket != self._ticket or verdict in ACTED or self._repeats == REPEATS:
            return False
        self._repeats += 1
        return True

    def said_again(self, ticket: int) -> None:
        """It waits for the wire once more."""
        self._ticket = ticket

    def stopped(self) -> None:
        """A stop is on its way."""
        self.due = None

    def started(self) -> None:
        """The board starts afresh: whatever ran runs no more."""
        self.due = self._ticket = None

"""The end of a motor's run, from our side: whoever froze or died sends no stop.

A burst is timed by the board and proven to end there. Beside that, when its time is over
and no newer line of the person's has come, the link sends the stop by itself.
"""

from typing import Final, final

from benchlink.core.exchange import Command
from benchlink.core.gate import Kind
from benchlink.units import Seconds


@final
class DeadHand:
    """Watches the permits of motors; times are those of the link."""

    def __init__(self, stop: Command | None = None) -> None:
        self.stop: Final = stop
        """What ends every motion; None where the console cannot be told."""
        self.due: Seconds | None = None
        """When the stop is due, unless a newer run begins before."""

    def left(self, command: Command, arrives: Seconds) -> None:
        """A line is on its way and will be there at that time."""
        permit = command.permit
        if permit is None or permit.motion.kind is not Kind.MOTOR or not self.stop:
            return
        # The run that proves the board's own end must not be ended from here.
        if not permit.motion.proving:
            self.due = Seconds(arrives + permit.motion.run_for)

    def over(self, now: Seconds) -> bool:
        """Whether the stop has to leave now."""
        return self.due is not None and now >= self.due

    def stopped(self) -> None:
        """A stop is on its way, or the board starts afresh."""
        self.due = None

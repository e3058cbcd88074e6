"""Whether a board has run on since it was last asked, by what it tells of its uptime.

Some consoles say no word at a start, so that nobody is told of one; what was confirmed
before it must not count after it.
"""

from dataclasses import dataclass
from typing import Final

from benchlink.units import Seconds

SLOWEST: Final = 0.98
"""A board's clock without a crystal may go so slowly."""
SLACK: Final = Seconds(1.2)
"""Uptime is told in whole seconds, and asking takes its time."""


@dataclass(frozen=True, slots=True)
class Uptime:
    """What a board told, and when."""

    told: Seconds
    at: Seconds

    def ran_on(self, later: "Uptime") -> bool:
        """Whether no start lies between this and what was told later."""
        least = self.told + SLOWEST * (later.at - self.at) - SLACK
        return later.told >= least

"""What is known of a tilt servo before anything was measured.

The defaults describe an unknown servo, from common data sheets: 400 us for 45 deg up
to 800 us for 60 deg, so 9 to 13 us a degree; dead band 1 to 10 us; 0.08 to 0.25 s for
60 deg. What the maker prints always wins.
"""

from dataclasses import dataclass
from enum import Enum
from typing import Final

from benchlink.units import PulseUs

NEUTRAL_US: Final = PulseUs(1500.0)
SHORTEST_US: Final = PulseUs(1000.0)
LONGEST_US: Final = PulseUs(2000.0)


class Turns(Enum):
    """Which way a longer pulse tilts the arm."""

    FORWARD = "a longer pulse tilts forward"
    AFT = "a longer pulse tilts aft"
    NOT_KNOWN = "nobody knows yet which way a longer pulse tilts"


@dataclass(frozen=True, slots=True, kw_only=True)
class ServoPart:
    """A servo with its horn and linkage, as printed; spreads are standard deviations."""

    neutral_us: PulseUs = NEUTRAL_US
    shortest_us: PulseUs = SHORTEST_US
    longest_us: PulseUs = LONGEST_US
    us_per_deg: float = 10.0
    slope_share: float = 0.15
    """Spread of the slope, as a share of it."""
    bend_deg: float = 0.06
    """Spread of the departure from a straight line, 100 us away from neutral; it
    grows with the square of the distance. A splined hub bends little, a push-rod 0.5."""
    dead_band_us: float = 10.0
    """Largest change of the pulse that the servo may ignore."""
    play_deg: float = 0.8
    play_spread_deg: float = 0.6
    teeth: int = 25
    arms: int = 1
    """Equally spaced arms of the horn that would fit as well as the one in use."""
    s_per_60_deg: float = 0.25
    turns: Turns = Turns.NOT_KNOWN

    def takes(self, pulse: float) -> bool:
        """Whether the servo may be sent this pulse."""
        return self.shortest_us <= pulse <= self.longest_us


UNKNOWN_SERVO: Final = ServoPart()
"""Where nobody knows what servo it is."""

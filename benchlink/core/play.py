"""Free play of a tilt arm, and what to think of it.

The reversal value of ISO 230-2 at one pulse: what the arm shows coming from forward,
less what it shows coming from aft. It holds dead band, gears, horn and bearing together.
"""

from dataclasses import dataclass
from enum import Enum
from typing import Final

from benchlink.core.angles import Degrees, Estimate

GOOD_DEG: Final = 1.0
USABLE_DEG: Final = 2.0
"""Guidance of the trade, not law; two degrees between left and right already yaw."""


class PlayVerdict(Enum):
    """What the play is good for."""

    GOOD = "good"
    WATCH = "more than it should be: look at horn screw, linkage and bearing"
    TOO_MUCH = "too much to fly with: replace or tighten what is loose"


@dataclass(frozen=True, slots=True, kw_only=True)
class Play:
    """What was found by coming from both sides."""

    size: Estimate
    lost_us: float
    """The same in microseconds: what the pulse moves before the arm does."""
    verdict: PlayVerdict

    def __str__(self) -> str:
        size_deg, within = max(0.0, self.size.mean_deg), self.size.half_width_deg
        return (
            f"free play {size_deg:.1f} deg, give or take {within:.1f}"
            f" ({self.lost_us:.0f} us): {self.verdict.value}"
        )


def play_of(size: Estimate, us_per_deg: float) -> Play:
    """Judged by its likeliest size; a size below nothing is reading noise."""
    found = Degrees(max(0.0, size.mean_deg))
    verdict = PlayVerdict.GOOD
    if found > GOOD_DEG:
        verdict = PlayVerdict.WATCH if found <= USABLE_DEG else PlayVerdict.TOO_MUCH
    return Play(size=size, lost_us=found * abs(us_per_deg), verdict=verdict)

"""Left beside right: the angles must be the same, the pulses the same or mirrored."""

from dataclasses import dataclass
from enum import Enum
from typing import Final

from benchlink.core.angles import Way, angle_words
from benchlink.core.throw_ends import Thrown
from benchlink.units import PulseUs

APART_DEG: Final = 0.5
"""Two degrees between the sides are a yaw of 0.035 N m at 5 N a motor and 0.2 m of arm;
half a degree is what one side is held to anyway."""

SLOPES_APART: Final = 0.1
"""Two servos of one kind whose slopes differ by more are worth a look."""


class Facing(Enum):
    """How the two servos are built in, as their pulses tell."""

    SAME = "the same pulse tilts both sides the same way"
    MIRRORED = "the same pulse tilts the sides opposite ways"


@dataclass(frozen=True, slots=True, kw_only=True)
class SideThrow:
    """One side: its centre and its ends."""

    centre_us: PulseUs
    thrown: Thrown


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Both sides, compared."""

    facing: Facing
    apart_deg: dict[Way, float]
    """Left end less right end, forward positive."""
    findings: tuple[str, ...]


def paired(left: SideThrow, right: SideThrow) -> Pair:
    """Hold both sides against each other."""
    slopes = [side.thrown.fit.slope_deg_per_us for side in (left, right)]
    same = (slopes[0] > 0) == (slopes[1] > 0)
    apart = {
        way: left.thrown.end(way).angle.mean_deg - right.thrown.end(way).angle.mean_deg
        for way in Way
    }
    ends = tuple(
        f"{way.value}, left reaches {angle_words(left.thrown.end(way).angle.mean_deg)}"
        f" and right {angle_words(right.thrown.end(way).angle.mean_deg)}"
        for way in Way
        if abs(apart[way]) > APART_DEG
    )
    sizes = sorted(map(abs, slopes))
    steeper = sizes[1] / sizes[0] - 1
    uneven = (
        (f"one servo turns {steeper:.0%} more for the same pulse than the other",)
        if steeper > SLOPES_APART
        else ()
    )
    return Pair(
        facing=Facing.SAME if same else Facing.MIRRORED,
        apart_deg=apart,
        findings=(*ends, *uneven),
    )

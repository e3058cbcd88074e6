"""Tilt angles and the one datum that all of them are counted from.

Zero is the rotor axis square to the level line of the airframe, that is upright when
the airframe stands level. Forward is towards the nose, aft towards the tail, on both
sides of the aircraft alike; inside, forward counts positive. On screen and on paper an
angle always carries its word, never a bare sign.
"""

from dataclasses import dataclass
from enum import Enum
from typing import Final, NewType

Degrees = NewType("Degrees", float)
"""An angle of the tilt arm from the datum, forward positive, or a difference of two."""

UPRIGHT: Final = Degrees(0.0)
"""The datum itself."""

Z_95: Final = 1.959964
"""Half width of the middle 95 % of a normal distribution, in standard deviations."""

DATUM: Final = (
    "0 deg is the rotor axis square to the airframe's level line;"
    " forward is towards the nose on both sides"
)
"""Printed on every sheet that holds an angle."""

SHOWN_DIGITS: Final = 1
"""A tenth of a degree: finer than any pointer on a jig is read."""


class Way(Enum):
    """Which way an arm leans or moves, as the aircraft itself sees it."""

    FORWARD = "forward"
    AFT = "aft"

    @property
    def sign(self) -> int:
        """1 forward, -1 aft."""
        return 1 if self is Way.FORWARD else -1

    @property
    def opposite(self) -> "Way":
        """The other way."""
        return Way.AFT if self is Way.FORWARD else Way.FORWARD


class Side(Enum):
    """Where the last move came from: play is then always taken up alike."""

    FROM_AFT = "from aft"
    FROM_FORWARD = "from forward"

    @property
    def moving(self) -> Way:
        """Which way the arm moves when it comes from there."""
        return Way.FORWARD if self is Side.FROM_AFT else Way.AFT

    @property
    def opposite(self) -> "Side":
        """The other one."""
        return Side.FROM_FORWARD if self is Side.FROM_AFT else Side.FROM_AFT


def way_of(angle_deg: float) -> Way:
    """Forward or aft; zero counts as forward."""
    return Way.AFT if angle_deg < 0 else Way.FORWARD


def leaning(size_deg: float, way: Way) -> Degrees:
    """An angle out of its size and its word."""
    return Degrees(size_deg * way.sign)


def angle_words(angle_deg: float) -> str:
    """The angle as it is echoed: `7.5 deg aft`; `0.0 deg` has no way to lean."""
    size = f"{abs(angle_deg):.{SHOWN_DIGITS}f}"
    if float(size) == 0:
        return f"{size} deg"
    return f"{size} deg {way_of(angle_deg).value}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """What an angle is believed to be."""

    mean_deg: Degrees
    sd_deg: float
    """Standard deviation; 95 % of such estimates are off by less than 1.96 of it."""

    @property
    def half_width_deg(self) -> float:
        """Half of the 95 % interval."""
        return Z_95 * self.sd_deg

    @property
    def low_deg(self) -> Degrees:
        """Aft end of the 95 % interval."""
        return Degrees(self.mean_deg - self.half_width_deg)

    @property
    def high_deg(self) -> Degrees:
        """Forward end of the 95 % interval."""
        return Degrees(self.mean_deg + self.half_width_deg)

    def __str__(self) -> str:
        return f"{angle_words(self.mean_deg)}, give or take {self.half_width_deg:.1f}"

"""What a throw is to be, and what it is: two ends, each reached from the middle."""

from dataclasses import dataclass

from benchlink.core.aiming import SURE, TOLERANCE_DEG, Mark
from benchlink.core.angles import Degrees, Estimate, Side, Way
from benchlink.core.approach import Route
from benchlink.core.servo_fit import ServoFit
from benchlink.units import PulseUs


@dataclass(frozen=True, slots=True, kw_only=True)
class Stops:
    """Where the arm meets something solid, as measured by hand with the rail off."""

    forward_deg: float | None = None
    aft_deg: float | None = None
    """Both as sizes; None: nobody has measured."""

    def size_deg(self, way: Way) -> float | None:
        """How far the arm may lean that way."""
        return self.forward_deg if way is Way.FORWARD else self.aft_deg


NO_STOPS = Stops()


@dataclass(frozen=True, slots=True, kw_only=True)
class ThrowWanted:
    """What the throw is to be."""

    forward_deg: float
    aft_deg: float
    """Both as sizes, counted from the datum."""
    stops: Stops = NO_STOPS
    tolerance_deg: float = TOLERANCE_DEG
    sure: float = SURE

    def mark(self, way: Way) -> Mark:
        """The end that way; the side is the middle."""
        size = self.forward_deg if way is Way.FORWARD else self.aft_deg
        return Mark(
            angle_deg=Degrees(size * way.sign),
            side=next(side for side in Side if side.moving is way),
            tolerance_deg=self.tolerance_deg,
            sure=self.sure,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """One end of the throw."""

    way: Way
    pulse_us: PulseUs
    angle: Estimate
    readings: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Thrown:
    """Both ends; the output should come to rest by `back`, at the centre."""

    ends: tuple[End, ...]
    fit: ServoFit
    back: Route

    def end(self, way: Way) -> End:
        """The end that way."""
        return next(end for end in self.ends if end.way is way)

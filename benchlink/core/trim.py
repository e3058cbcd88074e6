"""A small change after a flight: both tilts together or opposed, a degree or so.

The sense of this aircraft, whose centre of gravity hangs below the tilt axis: both
rotors forward push it forward, left forward with right aft turn the nose right. So
drifting forward is cured by tilting both aft, a nose that wanders left by left forward
and right aft. A steady lean of one degree drifts with `g tan 1 deg`, 0.17 m/s2.
"""

from dataclasses import dataclass
from enum import Enum
from typing import Final

from benchlink.core.angles import UPRIGHT, Degrees, Way, angle_words
from benchlink.core.servo_fit import ServoFit
from benchlink.errors import UsageError
from benchlink.units import PulseUs

LARGEST_DEG: Final = 3.0
"""More than this is no trim: something was not centred, balanced or levelled."""

STEP_DEG: Final = 0.5
"""Where the person cannot say how much."""


class Wandering(Enum):
    """What the aircraft does in a hover with the sticks let go."""

    FORWARD = "drifts forward"
    AFT = "drifts aft"
    NOSE_LEFT = "noses left"
    NOSE_RIGHT = "noses right"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lean:
    """What is added to the centres, in degrees, forward positive."""

    together_deg: Degrees = UPRIGHT
    opposed_deg: Degrees = UPRIGHT
    """The left side by so much, the right side by the opposite."""

    @property
    def left_deg(self) -> Degrees:
        """What the left side gets."""
        return Degrees(self.together_deg + self.opposed_deg)

    @property
    def right_deg(self) -> Degrees:
        """What the right side gets."""
        return Degrees(self.together_deg - self.opposed_deg)

    def plus(self, other: "Lean") -> "Lean":
        """Both changes at once."""
        return Lean(
            together_deg=Degrees(self.together_deg + other.together_deg),
            opposed_deg=Degrees(self.opposed_deg + other.opposed_deg),
        )


def cure(wandering: Wandering, size_deg: float = STEP_DEG) -> Lean:
    """The tilt that answers what was seen."""
    match wandering:
        case Wandering.FORWARD:
            return Lean(together_deg=Degrees(-size_deg))
        case Wandering.AFT:
            return Lean(together_deg=Degrees(size_deg))
        case Wandering.NOSE_LEFT:
            return Lean(opposed_deg=Degrees(size_deg))
        case Wandering.NOSE_RIGHT:
            return Lean(opposed_deg=Degrees(-size_deg))


def stick_trim_deg(
    trim_us: float, full_us: float, throw_deg: float, way: Way
) -> Degrees:
    """What a trim of the transmitter does to the tilt.

    `trim_us` is how far the channel stands off its middle with the stick let go,
    `full_us` how far full stick moves it, `way` where the tilt goes with a rising
    channel.

    Raises:
        UsageError: full stick moves nothing.
    """
    if full_us <= 0:
        msg = "full stick must move the channel"
        raise UsageError(msg, hint="Read the channel with the stick held over.")
    return Degrees(trim_us / full_us * throw_deg * way.sign)


@dataclass(frozen=True, slots=True, kw_only=True)
class SideTrim:
    """New pulses of one side."""

    by_deg: Degrees
    centre_us: PulseUs
    shift_us: float
    """What centre and ends move by, so that the throw stays as it was."""

    def __str__(self) -> str:
        return f"{angle_words(self.by_deg)}: centre {self.centre_us:.0f} us"


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimmedSide:
    """What one side stands at now."""

    fit: ServoFit
    centre_us: PulseUs
    ends_us: tuple[PulseUs, ...] = ()


def trimmed(side: TrimmedSide, by_deg: Degrees) -> SideTrim:
    """New centre of one side, through its own slope and way of turning.

    Raises:
        UsageError: too much for a trim, or a pulse that the servo does not take.
    """
    if abs(by_deg) > LARGEST_DEG:
        msg = f"{angle_words(by_deg)} is more than a trim ({LARGEST_DEG:g} deg)"
        hint = "Look at balance and level first, then centre again on the jig."
        raise UsageError(msg, hint=hint)
    shift_us = round(by_deg * side.fit.us_per_deg)
    part = side.fit.part
    for pulse in (side.centre_us, *side.ends_us):
        if not part.takes(pulse + shift_us):
            msg = f"{pulse + shift_us:.0f} us is outside what this servo takes"
            hint = f"It takes {part.shortest_us:.0f} to {part.longest_us:.0f} us."
            raise UsageError(msg, hint=hint)
    return SideTrim(
        by_deg=by_deg,
        centre_us=PulseUs(side.centre_us + shift_us),
        shift_us=float(shift_us),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Trim:
    """New centres of both sides."""

    left: SideTrim
    right: SideTrim


def trim(left: TrimmedSide, right: TrimmedSide, lean: Lean) -> Trim:
    """Both new centres, or none.

    Raises:
        UsageError: see `trimmed`.
    """
    return Trim(left=trimmed(left, lean.left_deg), right=trimmed(right, lean.right_deg))

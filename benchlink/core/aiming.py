"""Bringing one arm to one angle: which pulse next, and when it is good enough.

A pulse is accepted when the fit is sure enough that the arm stands within the tolerance
there, and the last reading checked it: taken from the same side, at that pulse or a
few microseconds beside it. Sure enough is a probability rather than a guard band of two
standard deviations (the idea of ISO 14253-1), because the error that counts is that of
the fit, which falls with every reading, and not that of the last look at the jig.
"""

import math
from dataclasses import dataclass
from typing import Final

from benchlink.core.angles import Degrees, Estimate, Side, angle_words
from benchlink.core.servo_fit import PulseEstimate, Reading, ServoFit
from benchlink.units import PulseUs

TOLERANCE_DEG: Final = 0.5
SURE: Final = 0.9975
"""How probable it must be that an accepted angle is within its tolerance. Most end well
above it, so that on the whole 99.8 % are."""

BESIDE_DEG: Final = 0.5
"""How far a check may lie beside the accepted pulse, in degrees: the slope carries so
little a way without error."""

MOST_READINGS: Final = 10
"""Then the readings scatter more than a jig and an eye explain."""

AGREE_SDS: Final = 3.0
"""The readings near a pulse, taken together, may lie so far off the fit of all: an arm
that rests against something unknown reads short there, and only there."""

OUT_OF_REACH_SDS: Final = 2.0
LIMIT_READINGS: Final = 3
"""At the last pulse of the range more of them would not bring the arm any further."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """An angle to be found."""

    angle_deg: Degrees
    side: Side
    tolerance_deg: float = TOLERANCE_DEG
    sure: float = SURE


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The angle stands at this pulse."""

    pulse_us: PulseUs
    angle: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class TryAt:
    """Read there next."""

    pulse_us: PulseUs
    checks: bool
    """The fit would accept it: only the check is missing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OutOfReach:
    """No pulse that the servo takes brings the arm there."""

    needed: PulseEstimate | None
    nearest_us: PulseUs
    nearest: Estimate

    def __str__(self) -> str:
        if self.needed is None:
            return "no pulse at all would get there"
        return (
            f"that would need {self.needed}; at {self.nearest_us:.0f} us, the last that"
            f" this servo takes, it reaches {angle_words(self.nearest.mean_deg)}"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Scattered:
    """The readings do not agree well enough."""

    readings: int


Aim = Found | TryAt | OutOfReach | Scattered


def aim(fit: ServoFit, mark: Mark, taken: tuple[Reading, ...]) -> Aim:
    """What to do next about `mark`; `taken` are the readings made for it so far."""
    wanted = fit.pulse_for(mark.angle_deg, mark.side)
    pulse = within_range(fit, mark, wanted)
    there = fit.at(pulse, mark.side)
    short_deg = abs(there.mean_deg - mark.angle_deg) - mark.tolerance_deg
    out = OutOfReach(needed=wanted, nearest_us=pulse, nearest=there)
    if wanted is None or short_deg > OUT_OF_REACH_SDS * there.sd_deg:
        return out
    chance = fit.chance_within(pulse, mark.side, mark.angle_deg, mark.tolerance_deg)
    enough = chance >= mark.sure
    if enough and _checked(fit, mark, taken, pulse):
        return Found(pulse_us=pulse, angle=there)
    at_limit = [r for r in taken if r.pulse_us == pulse != wanted.nearest]
    if len(at_limit) >= LIMIT_READINGS:
        return out
    if len(taken) >= MOST_READINGS:
        return Scattered(readings=len(taken))
    return TryAt(pulse_us=pulse, checks=enough)


def within_range(fit: ServoFit, mark: Mark, wanted: PulseEstimate | None) -> PulseUs:
    """The nearest pulse that the servo takes; where there is none, the last one."""
    part = fit.part
    if wanted is not None:
        return min(part.longest_us, max(part.shortest_us, wanted.nearest))
    return max(
        (part.shortest_us, part.longest_us),
        key=lambda end: -abs(fit.at(end, mark.side).mean_deg - mark.angle_deg),
    )


def _checked(
    fit: ServoFit, mark: Mark, taken: tuple[Reading, ...], pulse: PulseUs
) -> bool:
    """Whether the last reading was made there, and those made there bear the fit out."""
    beside_us, rising = BESIDE_DEG * abs(fit.us_per_deg), fit.rising(mark.side)
    off = [
        reading.angle_deg - fit.at(reading.pulse_us, mark.side).mean_deg
        for reading in taken
        if reading.rising is rising and abs(reading.pulse_us - pulse) <= beside_us
    ]
    last = taken[-1] if taken else None
    if last is None or not off or abs(last.pulse_us - pulse) > beside_us:
        return False
    agreeing_deg = AGREE_SDS * fit.noise_deg / math.sqrt(len(off))
    return last.rising is rising and abs(sum(off) / len(off)) <= agreeing_deg

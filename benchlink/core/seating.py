"""The horn on its spline: when to move it by teeth instead of trimming.

A spline of N teeth seats a horn every `360/N` degrees; a horn with m equal arms in
steps of `360/lcm(N, m)`, by moving on to another arm. The trade's rule: mechanics
first, trim last and small. A centre that is trimmed far from neutral leaves one end
point without pulses to reach it.
"""

import math
from dataclasses import dataclass
from typing import Final

from benchlink.core.angles import Degrees, Estimate, Way, way_of
from benchlink.core.servo_part import ServoPart

WORTH_DEG: Final = 1.5
"""Moving the horn must bring the arm at least this much nearer: it means a screw."""

SURE_SDS: Final = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HornMove:
    """Take the horn off and put it on again elsewhere."""

    way: Way
    """Where the arm moves to."""
    teeth: int
    """Teeth towards `way`; negative the other way (only together with `arms_on`)."""
    arms_on: int
    """How many arms on the arm to use lies, counted towards `way`; 0 keeps the arm."""
    by_deg: Degrees
    """What the arm moves by, forward positive."""
    step_deg: float
    """The finest step that this horn allows."""
    remaining_deg: Degrees
    """What will be left, to be trimmed."""


def step_deg(teeth: int, arms: int = 1) -> float:
    """Finest step between two seats of a horn."""
    return 360 / math.lcm(teeth, arms)


def horn_move(part: ServoPart, off: Estimate) -> HornMove | None:
    """What to do about an arm that stands `off` its wanted angle at the neutral pulse.

    None where trimming serves as well, or where it is not yet known well enough.
    """
    step = step_deg(part.teeth, part.arms)
    steps = round(-off.mean_deg / step)
    left = off.mean_deg + steps * step
    gained = abs(off.mean_deg) - abs(left)
    if steps == 0 or gained < max(WORTH_DEG, SURE_SDS * off.sd_deg):
        return None
    by = Degrees(steps * step)
    teeth, arms_on = _teeth_and_arms(abs(steps), part)
    return HornMove(
        way=way_of(by),
        teeth=teeth,
        arms_on=arms_on,
        by_deg=by,
        step_deg=step,
        remaining_deg=Degrees(left),
    )


def _teeth_and_arms(steps: int, part: ServoPart) -> tuple[int, int]:
    """The same step in teeth of the spline and arms of the horn, fewest teeth first."""
    finest = math.lcm(part.teeth, part.arms)
    tooth, arm = finest // part.teeth, finest // part.arms
    half = finest // 2
    choices = (
        (((steps - arms * arm + half) % finest - half), arms)
        for arms in range(part.arms)
    )
    teeth, arms_on = min(
        ((left // tooth, arms) for left, arms in choices if left % tooth == 0),
        key=lambda choice: (abs(choice[0]), choice[1]),
    )
    return teeth, arms_on

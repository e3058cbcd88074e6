"""The picture of one tilt arm, out of what its procedure knows."""

from dataclasses import dataclass
from typing import Final

from benchlink.core.aiming import Mark
from benchlink.core.angles import Estimate, Side
from benchlink.core.approach import Window
from benchlink.core.moving import Arm
from benchlink.core.roles import OwnSide
from benchlink.core.scene import SceneKey, Span, TiltScene
from benchlink.core.servo_fit import PulseEstimate, Reading, ServoFit
from benchlink.core.servo_part import Turns
from benchlink.core.throw_ends import NO_STOPS, End, Stops
from benchlink.units import PulseUs

SURE_US: Final = 0.0
"""A pulse that is about to be sent is not in doubt."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sought:
    """What a procedure is after."""

    mark: Mark
    stops: Stops = NO_STOPS
    ends: tuple[End, ...] = ()
    """Those that are found."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """What changes from one picture to the next."""

    asks: str
    pulse_us: PulseUs | None
    came: Side | None = None
    """Where the arm came from to this pulse; None: from where it is wanted to come."""
    goal_us: PulseUs | None = None
    """Where it is on its way to; None where it stands."""
    read: Reading | None = None
    play_taken: bool = False
    any_angle: bool = False
    """A reading from the other side: it tells the play, and need not be the wanted one."""
    horn_off: bool = False
    """The horn is about to be moved: what was read points nowhere."""
    keys: tuple[SceneKey, ...] = ()


def tilt_scene(side: OwnSide, arm: Arm, sought: Sought, moment: Moment) -> TiltScene:
    """The whole picture; costs well under a millisecond."""
    fit, mark, at = arm.fit, sought.mark, moment.pulse_us
    known = fit.turns is not Turns.NOT_KNOWN
    part = fit.part
    limits = Window(low_us=part.shortest_us, high_us=part.longest_us)
    return TiltScene(
        side=side,
        asks=moment.asks,
        pulse_us=at,
        next_us=_next(fit, mark, moment),
        wanted_deg=None if moment.any_angle else mark.angle_deg,
        tolerance_deg=mark.tolerance_deg,
        read=moment.read,
        stands=None if at is None else _stands(fit, at, moment.came or mark.side),
        window=arm.window,
        window_deg=_span(fit, arm.window, mark.side) if known else None,
        part_deg=_span(fit, limits, mark.side) if known else None,
        turns=fit.turns,
        stops=sought.stops,
        play=fit.play if moment.play_taken else None,
        readings=len(fit.readings),
        ends=sought.ends,
        keys=moment.keys,
    )


def _next(fit: ServoFit, mark: Mark, moment: Moment) -> PulseEstimate | None:
    """Where the arm is sent; else where the wanted angle is, once anything was read."""
    if moment.goal_us is not None and moment.goal_us != moment.pulse_us:
        return PulseEstimate(pulse_us=moment.goal_us, half_width_us=SURE_US)
    if moment.horn_off or not fit.readings:
        return None
    found = fit.pulse_for(mark.angle_deg, mark.side)
    return found if found is not None and fit.part.takes(found.nearest) else None


def _stands(fit: ServoFit, at: PulseUs, came: Side) -> Estimate:
    """Where the arm is believed to stand; wide enough for both ways of turning."""
    if fit.turns is Turns.NOT_KNOWN:
        return fit.reading_at(at, came)
    return fit.at(at, came)


def _span(fit: ServoFit, window: Window, side: Side) -> Span:
    ends = (fit.at(window.low_us, side).mean_deg, fit.at(window.high_us, side).mean_deg)
    return Span(aft_deg=min(ends), forward_deg=max(ends))

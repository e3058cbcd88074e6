"""The ends of the throw of one tilt servo, from the fit that centring left.

For each way: most of the way first, read, then where all readings together point to,
until the fit is sure and a reading has checked it. Each end is reached from the middle,
as in flight, so no detour leads past it. A pulse is sent only if the arm stays clear of
the mechanical stop by twice the doubt of the fit there; where that forbids the next
pulse, a nearer one is read first and sharpens the fit.

    begin -> Measure PART_WAY -> (Measure AIM | CHECK)* -> the other way -> Thrown
    Widen and AskAgain may come before any Measure; Refused ends it from everywhere.
"""

from dataclasses import dataclass, replace
from typing import Final

from benchlink.core.aiming import (
    BESIDE_DEG,
    Found,
    Mark,
    OutOfReach,
    Scattered,
    TryAt,
    aim,
)
from benchlink.core.angles import Side, Way, angle_words
from benchlink.core.approach import Route, Window
from benchlink.core.bench_steps import (
    AskAgain,
    Event,
    Measure,
    Purpose,
    Refused,
    Seen,
    Widen,
    Widened,
)
from benchlink.core.moving import Arm, reading_of
from benchlink.core.servo_fit import Reading, ServoFit
from benchlink.core.servo_part import Turns
from benchlink.core.throw_ends import End, Thrown, ThrowWanted
from benchlink.errors import MisuseError
from benchlink.units import PulseUs

PART_WAY: Final = 0.8
CAUTIOUS: Final = (1.0, 0.95, 0.9, 0.8, 0.6, 0.4, 0.2)
"""Shares of an angle that are tried where the whole might touch the stop."""

CLEAR_SDS: Final = 2.0
PROGRESS_DEG: Final = 1.0
"""A cautious step that gains less tells nothing new."""

LESS: Final = "Ask for less throw, or look for what is in the way."


Action = Measure | AskAgain | Widen | Thrown | Refused


@dataclass(frozen=True, slots=True, kw_only=True)
class Throw:
    """Where the procedure stands; `action` is what it asks for now."""

    wanted: ThrowWanted
    centre_us: PulseUs
    arm: Arm
    action: Action
    ends: tuple[End, ...] = ()
    taken: tuple[Reading, ...] = ()
    """Readings for the end that is being looked for."""
    put_off: Measure | None = None

    @property
    def over(self) -> bool:
        """Whether there is nothing more to do."""
        return isinstance(self.action, Thrown | Refused)

    @property
    def way(self) -> Way:
        """Which end is being looked for."""
        return WAYS[len(self.ends)]

    @property
    def mark(self) -> Mark:
        """The end that is being looked for."""
        return self.wanted.mark(self.way)


WAYS: Final = (Way.FORWARD, Way.AFT)


def begin(
    fit: ServoFit,
    centre_us: PulseUs,
    wanted: ThrowWanted,
    *,
    window: Window,
    at_us: PulseUs | None = None,
) -> Throw:
    """The first question, with the fit and the window that centring ended with."""
    arm = Arm(fit=fit, window=window, at_us=at_us)
    nothing = Refused(reason="nothing was asked for", hint="")
    return _onward(Throw(wanted=wanted, centre_us=centre_us, arm=arm, action=nothing))


def advance(state: Throw, event: Event) -> Throw:
    """The state after an answer from the bench.

    Raises:
        MisuseError: the event does not answer the action.
    """
    match state.action, event:
        case Measure() as measure, Seen() as seen:
            state = replace(state, arm=state.arm.after(measure.route))
            if seen.buzzes:
                return _held_up(state, seen)
            doubt = state.arm.doubt(measure, seen)
            return (
                replace(state, action=doubt) if doubt else _read(state, measure, seen)
            )
        case AskAgain(measure=measure), Seen() as seen:
            if seen.buzzes:
                return _held_up(state, seen)
            if state.arm.doubt(measure, seen, again=True) is None:
                return _read(state, measure, seen)
            return _contradicted(state, measure, seen)
        case Widen(window=window), Widened():
            arm = replace(state.arm, window=window)
            waiting, state = state.put_off, replace(state, arm=arm, put_off=None)
            return replace(state, action=waiting) if waiting else _onward(state)
        case action, _:
            msg = f"{type(event).__name__} does not answer {type(action).__name__}"
            raise MisuseError(msg)


def _read(state: Throw, measure: Measure, seen: Seen) -> Throw:
    reading = reading_of(measure, seen)
    arm = replace(state.arm, fit=state.arm.fit.with_reading(reading))
    return _onward(replace(state, arm=arm, taken=(*state.taken, reading)))


def _onward(state: Throw) -> Throw:
    if len(state.ends) == len(WAYS):
        back = state.arm.route(state.centre_us, Side.FROM_AFT)
        ends = tuple(_sharpened(state, end) for end in state.ends)
        return replace(state, action=Thrown(ends=ends, fit=state.arm.fit, back=back))
    if state.arm.fit.turns is Turns.NOT_KNOWN:
        return _refused(
            state, f"it is not known that {Turns.FORWARD.value} and not aft"
        )
    stop_deg, mark = state.wanted.stops.size_deg(state.way), state.mark
    if stop_deg is not None and stop_deg <= abs(mark.angle_deg):
        return _refused(
            state,
            f"{angle_words(mark.angle_deg)} lies behind the stop"
            f" at {angle_words(stop_deg * state.way.sign)}",
        )
    if not state.taken:
        return _towards(state, PART_WAY * mark.angle_deg, Purpose.PART_WAY)
    return _aimed(state)


def _sharpened(state: Throw, end: End) -> End:
    """With what the other end taught; no further than its check reaches."""
    fit, mark = state.arm.fit, state.wanted.mark(end.way)
    better = fit.pulse_for(mark.angle_deg, mark.side)
    pulse = end.pulse_us if better is None else better.nearest
    beside_us = BESIDE_DEG * abs(fit.us_per_deg)
    if abs(pulse - end.pulse_us) > beside_us or not fit.part.takes(pulse):
        pulse = end.pulse_us
    return replace(end, pulse_us=pulse, angle=fit.at(pulse, mark.side))


def _aimed(state: Throw) -> Throw:
    fit, mark = state.arm.fit, state.mark
    match aim(fit, mark, state.taken):
        case Found(pulse_us=pulse, angle=angle):
            end = End(
                way=state.way, pulse_us=pulse, angle=angle, readings=len(state.taken)
            )
            return _onward(replace(state, ends=(*state.ends, end), taken=()))
        case TryAt(pulse_us=pulse, checks=checks):
            angle_deg = fit.at(pulse, mark.side).mean_deg
            purpose = Purpose.CHECK if checks else Purpose.AIM
            return _towards(state, angle_deg, purpose)
        case OutOfReach() as out:
            return _refused(
                state, f"{angle_words(mark.angle_deg)} is out of reach: {out}"
            )
        case Scattered(readings=readings):
            return _refused(state, f"{readings} readings do not agree well enough")


def _towards(state: Throw, angle_deg: float, purpose: Purpose) -> Throw:
    """Ask for a reading there, or as near to it as is clear of the stop."""
    fit, side = state.arm.fit, state.mark.side
    reached = max((abs(r.angle_deg) for r in state.taken), default=0.0)
    for share in CAUTIOUS:
        estimate = fit.pulse_for(share * angle_deg, side)
        if estimate is None or not fit.part.takes(estimate.nearest):
            continue
        if not _clear(state, estimate.nearest):
            continue
        if share < 1 and share * abs(angle_deg) < reached + PROGRESS_DEG:
            break
        why = purpose if share == 1 else Purpose.PART_WAY
        measure = state.arm.measure(estimate.nearest, side, why)
        widen = state.arm.widening(measure.route)
        if widen is None:
            return replace(state, action=measure)
        return replace(state, action=widen, put_off=measure)
    return _refused(
        state,
        f"{angle_words(state.mark.angle_deg)} cannot be tried without risking the stop",
    )


def _clear(state: Throw, pulse: PulseUs) -> bool:
    """Whether the arm surely stays off its stop there, as far as one is known."""
    stop_deg, sign = state.wanted.stops.size_deg(state.way), state.way.sign
    there = state.arm.fit.at(pulse, state.mark.side)
    furthest_deg = sign * there.mean_deg + CLEAR_SDS * there.sd_deg
    return stop_deg is None or furthest_deg <= stop_deg


def _refused(
    state: Throw, reason: str, *, hint: str = LESS, first: Route = ()
) -> Throw:
    """No throw: back to the centre, by `first` where that is pressing."""
    back = (*first, *state.arm.route(state.centre_us, Side.FROM_AFT))
    return replace(state, action=Refused(reason=reason, hint=hint, back=back))


def _contradicted(state: Throw, measure: Measure, seen: Seen) -> Throw:
    """A confirmed reading that the fit cannot explain."""
    sign = state.way.sign
    if sign * seen.angle_deg < sign * measure.expected.mean_deg:
        return _held_up(state, seen)
    reason = (
        f"the arm went to {angle_words(seen.angle_deg)} where"
        f" {angle_words(measure.expected.mean_deg)} was expected"
    )
    hint = "Check the part sheet of the servo and the screw of the horn; centre again."
    return _refused(state, reason, hint=hint)


def _held_up(state: Throw, seen: Seen) -> Throw:
    """The arm stays behind, or the servo hums: something is in the way."""
    reason = (
        f"something holds the arm at {angle_words(seen.angle_deg)},"
        f" short of {angle_words(state.mark.angle_deg)}"
    )
    first = state.arm.backing_off(state.way)
    clear = replace(state, arm=state.arm.after(first))
    return _refused(clear, reason, first=first)

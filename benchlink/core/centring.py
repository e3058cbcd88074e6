"""Centring one tilt servo: from a fitted horn to a pulse that is right on the jig.

The order of the trade: find out which way it turns; read the arm at the neutral pulse;
move the horn by teeth where that helps; then go where all readings together point to,
always coming from the same side, until the fit is sure and a reading has checked it;
then come from the other side for the play. A reading that contradicts all others and
is confirmed starts the fit anew: one of the two was wrong, and nobody knows which.

    begin -> Look* -> Measure FIRST -> (MoveHorn -> Measure SEATED)*
          -> (Measure AIM | CHECK)* -> Measure PLAY* -> Centred
    Widen and AskAgain may come before any Measure; Refused ends it from everywhere.
"""

from dataclasses import replace
from typing import Final

from benchlink.core.aiming import (
    Found,
    OutOfReach,
    Scattered,
    TryAt,
    aim,
)
from benchlink.core.angles import Degrees, Side, Way, angle_words, way_of
from benchlink.core.approach import Window, route
from benchlink.core.bench_steps import (
    AskAgain,
    Event,
    HornMoved,
    Look,
    Measure,
    MoveHorn,
    Purpose,
    Refused,
    Seen,
    Watched,
    Widen,
    Widened,
)
from benchlink.core.centring_state import Centred, Centring, Wanted
from benchlink.core.horn_seat import LOST_SD_DEG, seat_read
from benchlink.core.moving import Arm, reading_of
from benchlink.core.play import play_of
from benchlink.core.seating import horn_move
from benchlink.core.servo_fit import ServoFit, new_fit
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.core.throw_room import missing_room
from benchlink.errors import MisuseError
from benchlink.units import PulseUs

WINDOW_US: Final = 200.0
"""Each way from neutral, for a start: half a tooth of a coarse spline and the detour."""

LOOKS_US: Final = (40.0, 80.0, 150.0)
"""How far to move while somebody watches; more each time nothing was seen."""

MOST_LOOKS: Final = 6
MOST_HORN_MOVES: Final = 3
TRIM_TOLD_US: Final = 50.0
"""A centre further from neutral is worth a remark (guidance of the trade)."""


def begin(
    part: ServoPart,
    wanted: Wanted,
    *,
    at_us: PulseUs | None = None,
    fit: ServoFit | None = None,
) -> Centring:
    """The first question; `fit` is what was learned of this servo before."""
    known = fit or new_fit(part)
    neutral = part.neutral_us
    window = Window(
        low_us=PulseUs(max(part.shortest_us, neutral - WINDOW_US)),
        high_us=PulseUs(min(part.longest_us, neutral + WINDOW_US)),
    )
    arm = Arm(fit=known, window=window, at_us=at_us)
    nothing = Refused(reason="nothing was asked for", hint="")
    return _onward(Centring(wanted=wanted, arm=arm, action=nothing))


def advance(state: Centring, event: Event) -> Centring:
    """The state after an answer from the bench.

    Raises:
        MisuseError: the event does not answer the action.
    """
    match state.action, event:
        case Measure() as measure, Seen() as seen:
            arm = state.arm.after(measure.route)
            return _read(replace(state, arm=arm), measure, seen)
        case AskAgain() as again, Seen() as seen:
            return _read_again(state, again, seen)
        case Look(route=onward), Watched(way=way):
            return _watched(replace(state, arm=state.arm.after(onward)), way)
        case MoveHorn() as move, HornMoved():
            return _horn_moved(state, move)
        case Widen(window=window), Widened():
            arm = replace(state.arm, window=window)
            return _asking(replace(state, arm=arm, put_off=None), state.put_off)
        case action, _:
            msg = f"{type(event).__name__} does not answer {type(action).__name__}"
            raise MisuseError(msg)


def _asking(state: Centring, action: Look | Measure | MoveHorn | None) -> Centring:
    """Ask for it, or first for a window that is wide enough."""
    if action is None:
        return _onward(state)
    way = (*action.ready, *action.route) if isinstance(action, Look) else action.route
    widen = state.arm.widening(way)
    if widen is None:
        return replace(state, action=action)
    return replace(state, action=widen, put_off=action)


def _measuring(
    state: Centring, goal: PulseUs, side: Side, purpose: Purpose
) -> Centring:
    return _asking(state, state.arm.measure(goal, side, purpose))


def _refused(state: Centring, reason: str, hint: str) -> Centring:
    return replace(state, action=Refused(reason=reason, hint=hint))


def _onward(state: Centring) -> Centring:
    """What to ask for with what is known by now."""
    fit, side = state.arm.fit, state.wanted.side
    if not fit.turns_guessed:
        return _looking(state)
    if not state.taken:
        purpose = Purpose.SEATED if state.seat_before else Purpose.FIRST
        return _measuring(state, fit.part.neutral_us, side, purpose)
    if state.found is None:
        return _seating(state)
    if fit.turns is Turns.NOT_KNOWN:
        return _looking(state)
    return _play(state, state.found)


def _seating(state: Centring) -> Centring:
    """Mechanics first: move the horn where that helps, and only then aim."""
    fit, side, wanted = state.arm.fit, state.wanted.side, state.wanted.angle_deg
    now = fit.at(fit.part.neutral_us, side)
    off = replace(now, mean_deg=Degrees(now.mean_deg - wanted))
    move = horn_move(fit.part, off)
    if move is None:
        return _aimed(state)
    if state.horn_moves >= MOST_HORN_MOVES:
        return _refused(
            state,
            f"after {state.horn_moves} moves of the horn the arm still stands"
            f" {angle_words(off.mean_deg)} off",
            "Check the number of teeth, the horn's spline and its screw.",
        )
    held = state.arm.route(fit.part.neutral_us, side)
    return _asking(state, MoveHorn(route=held, move=move))


def _looking(state: Centring) -> Centring:
    if state.unseen >= len(LOOKS_US):
        return _refused(
            state,
            "nobody saw the arm move",
            "Is the servo rail powered (USB alone does not)? Is it this output's plug?",
        )
    if state.looks >= MOST_LOOKS:
        return _refused(
            state,
            "what was seen and what was read contradict each other",
            "Is the jig on the arm of this output? Is forward towards the nose on it?",
        )
    start = state.arm.at_us if state.found else None
    neutral = start or state.arm.fit.part.neutral_us
    ready = state.arm.route(neutral, state.wanted.side)
    goal = PulseUs(neutral + LOOKS_US[state.unseen])
    onward = route(state.arm.fit, neutral, goal, _rising_side(state.arm.fit))
    return _asking(state, Look(ready=ready, route=onward))


def _rising_side(fit: ServoFit) -> Side:
    return next(side for side in Side if fit.rising(side))


def _watched(state: Centring, way: Way | None) -> Centring:
    """What was seen counts more than what was told; a fit that changes its mind aims anew."""
    state = replace(state, looks=state.looks + 1)
    if way is None:
        return _onward(replace(state, unseen=state.unseen + 1))
    before = state.arm.fit
    fit = before.watched(Turns.FORWARD if way is Way.FORWARD else Turns.AFT)
    turned = (fit.slope_deg_per_us > 0) != (before.slope_deg_per_us > 0)
    found = None if turned else state.found
    return _onward(replace(state, arm=replace(state.arm, fit=fit), found=found))


def _read(state: Centring, measure: Measure, seen: Seen) -> Centring:
    if seen.buzzes:
        return _held_up(state, seen)
    if measure.purpose is Purpose.SEATED:
        return _seated(state, measure, seen)
    doubt = state.arm.doubt(measure, seen)
    if doubt is not None:
        return replace(state, action=doubt)
    return _believed(state, measure, seen)


def _read_again(state: Centring, again: AskAgain, seen: Seen) -> Centring:
    """The second answer counts; if it is no likelier, the readings before it go."""
    if seen.buzzes:
        return _held_up(state, seen)
    measure = again.measure
    if state.arm.doubt(measure, seen, again=True) is None:
        return _believed(state, measure, seen)
    remark = (
        f"{angle_words(seen.angle_deg)} did not fit the readings before it:"
        " those were set aside"
    )
    fit = state.arm.fit.forgetting()
    return _believed(
        replace(
            state,
            arm=replace(state.arm, fit=fit),
            taken=(),
            found=None,
            play_readings=0,
            remarks=(*state.remarks, remark),
        ),
        replace(measure, purpose=Purpose.FIRST),
        seen,
    )


def _believed(state: Centring, measure: Measure, seen: Seen) -> Centring:
    reading, before = reading_of(measure, seen), state.arm.fit
    arm = replace(state.arm, fit=before.with_reading(reading))
    if (arm.fit.slope_deg_per_us > 0) != (before.slope_deg_per_us > 0):
        state = replace(state, found=None)
    if measure.purpose is Purpose.PLAY:
        return _onward(replace(state, arm=arm, play_readings=state.play_readings + 1))
    return _onward(
        replace(
            state,
            arm=arm,
            taken=(*state.taken, reading),
            readings=state.readings + 1,
        )
    )


def _held_up(state: Centring, seen: Seen) -> Centring:
    refused = Refused(
        reason=f"the servo pushes against something at {angle_words(seen.angle_deg)}",
        hint="Free the arm, look for what it touches, then centre again.",
        back=state.arm.backing_off(way_of(seen.angle_deg)),
    )
    return replace(state, action=refused)


def _horn_moved(state: Centring, done: MoveHorn) -> Centring:
    arm = state.arm.after(done.route)
    fit = arm.fit.with_horn_moved(done.move.by_deg, LOST_SD_DEG)
    return _onward(
        replace(
            state,
            arm=replace(arm, fit=fit),
            taken=(),
            found=None,
            horn_moves=state.horn_moves + 1,
            seat_before=arm.fit.at(arm.fit.part.neutral_us, state.wanted.side),
            move=done.move,
        )
    )


def _seated(state: Centring, measure: Measure, seen: Seen) -> Centring:
    if state.seat_before is None or state.move is None:
        msg = "a seat is read only after the horn was moved"
        raise MisuseError(msg)
    reading = reading_of(measure, seen)
    seat = seat_read(state.arm.fit, state.seat_before, state.move, reading)
    remarks = (*state.remarks, seat.remark) if seat.remark else state.remarks
    arm = replace(state.arm, fit=seat.fit)
    return _believed(replace(state, arm=arm, remarks=remarks), measure, seen)


def _aimed(state: Centring) -> Centring:
    match aim(state.arm.fit, state.wanted.mark, state.taken):
        case Found() as found:
            no_room = missing_room(state.arm.fit, state.wanted, found.pulse_us)
            if no_room is not None:
                return replace(state, action=no_room)
            return _onward(replace(state, found=found))
        case TryAt(pulse_us=pulse, checks=checks):
            purpose = Purpose.CHECK if checks else Purpose.AIM
            return _measuring(state, pulse, state.wanted.side, purpose)
        case OutOfReach() as out:
            return _refused(
                state,
                f"{angle_words(state.wanted.angle_deg)} is out of reach: {out}",
                "Seat the horn nearer, or check the range that the part sheet allows.",
            )
        case Scattered(readings=readings):
            return _refused(
                state,
                f"{readings} readings do not agree well enough",
                "Look for a loose horn, arm or jig; then centre again.",
            )


def _play(state: Centring, found: Found) -> Centring:
    if state.play_readings < state.wanted.play_readings:
        other = state.wanted.side.opposite
        return _measuring(state, found.pulse_us, other, Purpose.PLAY)
    fit, side = state.arm.fit, state.wanted.side
    trim_us = found.pulse_us - fit.part.neutral_us
    remarks = state.remarks
    if abs(trim_us) > TRIM_TOLD_US:
        remarks = (*remarks, f"the centre is {abs(trim_us):.0f} us away from neutral")
    measured = play_of(fit.play, fit.us_per_deg) if state.play_readings else None
    return replace(
        state,
        action=Centred(
            pulse_us=found.pulse_us,
            angle=fit.at(found.pulse_us, side),
            play=measured,
            trim_us=trim_us,
            readings=state.readings,
            fit=fit,
            back=state.arm.route(found.pulse_us, side),
            remarks=remarks,
        ),
    )

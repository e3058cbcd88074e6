"""Nudging an arm by single keys, or to a typed pulse, while somebody looks at it.

up, down       10 us longer, shorter
right, left    2 us longer, shorter
digits, Enter  to that pulse
Enter          read here
Escape         back to where it stood
"""

from dataclasses import dataclass
from typing import Final

from benchlink.core.angles import Side
from benchlink.core.approach import LONGEST_HOP_US, settle_s
from benchlink.core.doors import Person
from benchlink.core.moving import Arm
from benchlink.core.scene import SceneKey
from benchlink.core.servo_fit import ServoFit
from benchlink.core.servo_part import Turns
from benchlink.core.tilt_scene import Moment
from benchlink.errors import SafetyRefusalError
from benchlink.units import PulseUs, Seconds
from benchlink.workflows.tilt_view import TiltView
from benchlink.workflows.tilts import HOLD_EVERY, Tilt

COARSE_US: Final = 10.0
FINE_US: Final = 2.0
"""Just above the dead band of a good digital servo (1 to 3 us)."""
STEPS_US: Final = {
    "up": COARSE_US,
    "down": -COARSE_US,
    "right": FINE_US,
    "left": -FINE_US,
}
PULSE_DIGITS: Final = 4
KEYS: Final = (
    SceneKey("up down", f"{COARSE_US:g} us"),
    SceneKey("right left", f"{FINE_US:g} us"),
    SceneKey("digits enter", "to that pulse"),
    SceneKey("enter", "read here"),
    SceneKey("escape", "back"),
)
ASKS: Final = "Nudge it with the keys"


@dataclass(frozen=True, slots=True, kw_only=True)
class Nudged:
    """Where the arm was put by hand."""

    pulse_us: PulseUs
    rising: bool
    """The last move made the pulse longer."""
    rest_s: Seconds


def nudge(
    tilt: Tilt, person: Person, view: TiltView, arm: Arm, start: PulseUs
) -> Nudged | None:
    """Follow the keys until Enter; None where it stands as before.

    A pulse is on its way to the board before anything is drawn.

    Raises:
        LinkError: the board does not answer any more.
    """
    fit = arm.fit
    turns = "" if fit.turns is Turns.NOT_KNOWN else f"; {fit.turns.value}"
    person.tell(
        f"Up and down: {COARSE_US:g} us. Right and left: {FINE_US:g} us. A pulse and"
        f" Enter: there. Enter alone: read here. Escape: back{turns}."
    )
    at, rising, typed = start, True, ""
    with person.keys(f"{at:.0f} us ") as keys:
        view.show(arm, Moment(asks=ASKS, pulse_us=at, keys=KEYS))
        while True:
            pressed = keys.pressed(HOLD_EVERY)
            if not pressed:
                tilt.hold()
                continue
            goal, typed, over = _meant(pressed, at, typed)
            if over == "back":
                goal = start
            moved = _moved(tilt, person, at, goal)
            if moved != at:
                rising, at = moved > at, moved
            keys.show(f"{at:.0f} us {typed}")
            asks = f"{ASKS}: {typed}" if typed else ASKS
            came = came_from(fit, rising=rising)
            view.show(arm, Moment(asks=asks, pulse_us=at, came=came, keys=KEYS))
            if over:
                break
    if at == start:
        return None
    rest_s = settle_s(
        abs(at - start) * abs(fit.slope_deg_per_us), fit.part.s_per_60_deg
    )
    return Nudged(pulse_us=at, rising=rising, rest_s=rest_s)


def came_from(fit: ServoFit, *, rising: bool) -> Side:
    """Where an arm comes from whose pulse has become longer, or shorter."""
    return next(side for side in Side if fit.rising(side) is rising)


def _meant(
    pressed: tuple[str, ...], at: PulseUs, typed: str
) -> tuple[PulseUs, str, str]:
    """Where some keys together lead, what is half typed, and `here` or `back` at the end."""
    goal = float(at)
    for key in pressed:
        if key in STEPS_US:
            goal, typed = goal + STEPS_US[key], ""
        elif key.isdecimal() and len(key) == 1:
            typed = (typed + key)[-PULSE_DIGITS:]
        elif key == "backspace":
            typed = typed[:-1]
        elif key == "enter" and typed:
            goal, typed = float(typed), ""
        elif key == "enter":
            return PulseUs(goal), "", "here"
        elif key in {"escape", "gone", "q"}:
            return PulseUs(goal), "", "back"
    return PulseUs(goal), typed, ""


def _moved(tilt: Tilt, person: Person, at: PulseUs, goal: PulseUs) -> PulseUs:
    """Where it stands after that: no hop is longer than the trade allows."""
    if goal == at:
        return at
    hop = max(-LONGEST_HOP_US, min(LONGEST_HOP_US, goal - at))
    there = PulseUs(float(at + hop))
    try:
        # A hop on a longer way must not be replaced by the next one.
        (tilt.nudge if there == goal else tilt.to)(there)
    except SafetyRefusalError as refusal:
        person.tell(str(refusal))
        return at
    return there if there == goal else _moved(tilt, person, there, goal)

"""Nudging an arm by single keys, or to a typed pulse, while somebody looks at it.

up, down       10 us longer, shorter
right, left    2 us longer, shorter
digits, Enter  to that pulse: three or four of them
Enter          read here
Escape         back to where it stood

Nothing is sent for a pulse beyond the open window or the servo's range, wherever the way
there begins. Any key ends a way of several hops.
"""

from dataclasses import dataclass
from typing import Final, final

from benchlink.core.angles import Side
from benchlink.core.approach import LONGEST_HOP_US, settle_s
from benchlink.core.doors import Keys, Person
from benchlink.core.moving import Arm
from benchlink.core.scene import SceneKey
from benchlink.core.servo_fit import ServoFit
from benchlink.core.servo_part import Turns
from benchlink.core.tilt_scene import Moment
from benchlink.errors import RefusedError, SafetyRefusalError
from benchlink.units import PulseUs, Seconds
from benchlink.workflows.tilt_view import TiltView
from benchlink.workflows.tilts import HOLD_EVERY, Tilt, window_words

COARSE_US: Final = 10.0
FINE_US: Final = 2.0
"""Just above the dead band of a good digital servo (1 to 3 us)."""
STEPS_US: Final = {
    "up": COARSE_US,
    "down": -COARSE_US,
    "right": FINE_US,
    "left": -FINE_US,
}
PULSE_DIGITS: Final = frozenset({3, 4})
"""How many a pulse in us has; any other number of them is a slip."""
KEPT_DIGITS: Final = 5
"""Typed ones that are kept: one more than a pulse can have."""
KEYS: Final = (
    SceneKey("up down", f"{COARSE_US:g} us"),
    SceneKey("right left", f"{FINE_US:g} us"),
    SceneKey("digits enter", "to that pulse"),
    SceneKey("enter", "read here"),
    SceneKey("escape", "back"),
)
ASKS: Final = "Nudge it with the keys"
KEYS_SAID: Final = (
    f"Up {COARSE_US:g} us longer, down shorter; right {FINE_US:g} us longer, left"
    " shorter"
)
MORE_SAID: Final = (
    "A pulse of three or four digits and Enter: there. Enter alone: read here."
    " Escape: back."
)
WAY_SAID: Final = {
    Turns.FORWARD: "; longer tilts forward",
    Turns.AFT: "; longer tilts aft",
    Turns.NOT_KNOWN: "",
}


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

    A pulse is on its way to the board before anything is drawn; the one that stands in
    the end was told once more, and the board took it.

    Raises:
        LinkError: the board does not answer any more.
        RefusedError: it does not take the pulse where the arm stood before.
        SafetyRefusalError: nobody is at the terminal any more; or what stood is refused.
    """
    fit = arm.fit
    person.tell(f"{KEYS_SAID}{WAY_SAID[fit.turns]}. {MORE_SAID}")
    with person.keys(f"{start:.0f} us ") as keys:
        hand = _Hand(tilt, person, keys, arm, start)
        _show(view, arm, hand)
        while True:
            pressed = keys.pressed(HOLD_EVERY)
            if not pressed:
                tilt.hold()
                continue
            over = hand.heed(pressed)
            keys.show(f"{hand.at:.0f} us {hand.typed}")
            _show(view, arm, hand)
            if over:
                break
    if hand.at == start:
        return None
    return Nudged(
        pulse_us=hand.at, rising=hand.rising, rest_s=_rest_s(fit, hand.at - start)
    )


def came_from(fit: ServoFit, *, rising: bool) -> Side:
    """Where an arm comes from whose pulse has become longer, or shorter."""
    return next(side for side in Side if fit.rising(side) is rising)


def _show(view: TiltView, arm: Arm, hand: "_Hand") -> None:
    asks = f"{ASKS}: {hand.typed}" if hand.typed else ASKS
    came = came_from(arm.fit, rising=hand.rising) if hand.moved else None
    view.show(arm, Moment(asks=asks, pulse_us=hand.at, came=came, keys=KEYS))


def _rest_s(fit: ServoFit, move_us: float) -> Seconds:
    return settle_s(abs(move_us) * abs(fit.slope_deg_per_us), fit.part.s_per_60_deg)


@final
class _Hand:
    """What the keys have done to the arm so far."""

    def __init__(
        self, tilt: Tilt, person: Person, keys: Keys, arm: Arm, start: PulseUs
    ) -> None:
        self._tilt: Final = tilt
        self._person: Final = person
        self._keys: Final = keys
        self._arm: Final = arm
        self._start: Final = start
        self.at = start
        self.typed = ""
        self.rising = True
        self.moved = False
        self._unproven = False
        """Whether a nudge left whose answer nobody has looked at."""
        self._refused: PulseUs | None = None
        """What was last said to be out of reach: a held key is told that once."""

    def heed(self, pressed: tuple[str, ...]) -> bool:
        """Carry out keys that came together; whether they end the nudging.

        Raises:
            SafetyRefusalError: nobody is there to press one.
        """
        _require_somebody(pressed)
        goal = float(self.at)
        for key in pressed:
            if key in STEPS_US:
                goal, self.typed = goal + STEPS_US[key], ""
            elif key.isdecimal() and len(key) == 1:
                self.typed = (self.typed + key)[:KEPT_DIGITS]
            elif key == "backspace":
                self.typed = self.typed[:-1]
            elif key == "enter" and self.typed:
                goal = self._typed_pulse(goal)
            elif key == "enter":
                return self._go(PulseUs(goal)) and self._proven()
            elif key in {"escape", "q"}:
                self.typed = ""
                self._go(self._start, back=True)
                return self._proven()
            else:
                self.typed = ""
        self._go(PulseUs(goal))
        return False

    def _typed_pulse(self, goal: float) -> float:
        """The pulse that was typed; the goal before, where it is none."""
        typed, self.typed = self.typed, ""
        if len(typed) in PULSE_DIGITS:
            return float(typed)
        self._person.tell(f"`{typed}` is no pulse: three or four digits, in us.")
        return goal

    def _go(self, goal: PulseUs, *, back: bool = False) -> bool:
        """Move there by hops; whether the arm was told so far."""
        if goal != self.at and not (back or self._allowed(goal)):
            return False
        while self.at != goal:
            far = goal - self.at
            hop = max(-LONGEST_HOP_US, min(LONGEST_HOP_US, far))
            if not self._hop(PulseUs(float(self.at + hop)), last=hop == far):
                return False
            if self.at != goal and self._broken_off(hop, heeds_keys=not back):
                self._person.tell(f"A key ended the way at {self.at:.0f} us.")
                return False
        return True

    def _allowed(self, goal: PulseUs) -> bool:
        """Whether the whole way may be gone: it is refused before its first hop."""
        window, part = self._arm.window, self._arm.fit.part
        if window.holds(goal) and part.takes(goal):
            self._refused = None
            return True
        if goal != self._refused:
            self._refused = goal
            self._person.tell(
                f"{goal:.0f} us: not moved. Open now: {window_words(window)}; the servo"
                f" takes {part.shortest_us:.0f} to {part.longest_us:.0f} us."
            )
        return False

    def _hop(self, there: PulseUs, *, last: bool) -> bool:
        """One pulse; whether it may be sent. One on a longer way is proven at once."""
        try:
            # A hop on a longer way must not be replaced by the next one.
            (self._tilt.nudge if last else self._tilt.to)(there)
        except SafetyRefusalError as refusal:
            self._person.tell(str(refusal))
            return False
        self.rising, self.at, self.moved = there > self.at, there, True
        self._unproven = last
        return True

    def _broken_off(self, hop: float, *, heeds_keys: bool) -> bool:
        """Wait until the arm has followed; whether a key came meanwhile and counts."""
        left = float(_rest_s(self._arm.fit, hop))
        while left > 0:
            pressed = self._keys.pressed(Seconds(min(HOLD_EVERY, left)))
            _require_somebody(pressed)
            if pressed and heeds_keys:
                return True
            self._tilt.hold()
            left -= HOLD_EVERY
        return False

    def _proven(self) -> bool:
        """Tell where it stands once more; whether the board took it.

        Raises:
            SafetyRefusalError: the gate says no.
        """
        if not self._unproven:
            return True
        try:
            self._tilt.to(self.at)
        except RefusedError as refusal:
            if self.at == self._start:
                raise
            self._person.tell(f"The board does not take {self.at:.0f} us: {refusal}")
            return False
        self._unproven = False
        return True


def _require_somebody(pressed: tuple[str, ...]) -> None:
    if "gone" in pressed:
        msg = "nobody is at the terminal any more"
        raise SafetyRefusalError(msg, hint="Nothing more was moved, and nothing kept.")

"""What a person saw when a motor was to turn: which one, and which way.

Seen from above with the arms upright a rotor turns clockwise or anticlockwise. With the
arms tilted forward and seen from behind it is inboard-down when the blade next to the
body goes down: on the left that is anticlockwise from above, on the right clockwise.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Final

from benchlink.core.roles import OwnSide
from benchlink.core.spin_expiry import Expiry
from benchlink.units import Power, Seconds


class Turned(Enum):
    """What turned; left and right are the aircraft's own, nose away from you."""

    LEFT = "left"
    RIGHT = "right"
    BOTH = "both"
    NOTHING = "nothing"
    TILT = "a tilt arm"

    @property
    def side(self) -> OwnSide | None:
        """The one side that turned."""
        return {Turned.LEFT: OwnSide.LEFT, Turned.RIGHT: OwnSide.RIGHT}.get(self)


class Turning(Enum):
    """Which way, seen from above with the arms upright."""

    CLOCKWISE = "clockwise"
    ANTICLOCKWISE = "anticlockwise"

    @property
    def opposite(self) -> "Turning":
        """The other way."""
        return Turning.ANTICLOCKWISE if self is Turning.CLOCKWISE else Turning.CLOCKWISE


class Hand(Enum):
    """Which way a pair of rotors turns, as a build sheet says it."""

    INBOARD_DOWN = "inboard-down"
    OUTBOARD_DOWN = "outboard-down"


class Means(Enum):
    """How a motor was made to turn."""

    TOOL = "by the tool"
    RADIO = "by radio"


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One motor that was to turn, and what was seen."""

    ordered: OwnSide
    turned: Turned
    turning: Turning | None
    """None where nothing turned, or nobody could tell."""
    means: Means = Means.TOOL
    power: Power | None = None
    ran_for: Seconds | None = None
    """Of the longest run; None by radio."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpinCheck:
    """All that was seen: what a record holds."""

    aircraft: str
    operator: str
    answers: tuple[Answer, ...]
    hand: Hand | None
    """As the build sheet wants it; None where it does not say."""
    proofs: tuple[Expiry, ...] = ()
    """That the board ends a motion by itself; none by radio."""
    remarks: tuple[str, ...] = ()
    """What was let pass, and what came in between."""


WHAT: Final[Mapping[str, Turned]] = {
    "left": Turned.LEFT,
    "l": Turned.LEFT,
    "right": Turned.RIGHT,
    "r": Turned.RIGHT,
    "both": Turned.BOTH,
    "b": Turned.BOTH,
    "nothing": Turned.NOTHING,
    "none": Turned.NOTHING,
    "n": Turned.NOTHING,
    "tilt": Turned.TILT,
    "a tilt": Turned.TILT,
    "a tilt arm": Turned.TILT,
    "t": Turned.TILT,
}
_CLOCKWISE: Final = ("clockwise", "c", "cw")
_ANTICLOCKWISE: Final = (
    *("anticlockwise", "anti-clockwise", "counterclockwise", "counter-clockwise"),
    *("a", "ccw", "acw"),
)
_HANDS: Final[Mapping[str, Hand]] = {
    "inboard-down": Hand.INBOARD_DOWN,
    "inboard down": Hand.INBOARD_DOWN,
    "in": Hand.INBOARD_DOWN,
    "i": Hand.INBOARD_DOWN,
    "outboard-down": Hand.OUTBOARD_DOWN,
    "outboard down": Hand.OUTBOARD_DOWN,
    "out": Hand.OUTBOARD_DOWN,
    "o": Hand.OUTBOARD_DOWN,
}


def what_turned(text: str) -> Turned | None:
    """The answer to "what turned?"; None where it is none."""
    return WHAT.get(_plain(text))


def hand_of(text: str) -> Hand | None:
    """Inboard-down or outboard-down; None where it is neither."""
    return _HANDS.get(_plain(text))


def which_way(text: str, side: OwnSide) -> Turning | None:
    """The answer to "which way?" for the motor of one side; None where it is none."""
    word = _plain(text)
    if word in _CLOCKWISE:
        return Turning.CLOCKWISE
    if word in _ANTICLOCKWISE:
        return Turning.ANTICLOCKWISE
    hand = hand_of(word)
    return wanted_turning(side, hand) if hand else None


def wanted_turning(side: OwnSide, hand: Hand) -> Turning:
    """How the motor of a side turns in such a pair, seen from above."""
    inboard = Turning.ANTICLOCKWISE if side is OwnSide.LEFT else Turning.CLOCKWISE
    return inboard if hand is Hand.INBOARD_DOWN else inboard.opposite


def hand_seen(side: OwnSide, turning: Turning) -> Hand:
    """What a rotor of that side is when it turns so."""
    inboard = wanted_turning(side, Hand.INBOARD_DOWN)
    return Hand.INBOARD_DOWN if turning is inboard else Hand.OUTBOARD_DOWN


def _plain(text: str) -> str:
    return " ".join(text.strip().casefold().rstrip(".").split())

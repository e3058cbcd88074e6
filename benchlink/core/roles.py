"""What a setting is for, in the trade's words, whatever a board calls it.

Left and right are the aircraft's own, nose away from you; aft and fore are the ends of
the travel of a tilt arm.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Final

from benchlink.core.angles import Way


class OwnSide(Enum):
    """One of the two sides of the aircraft, as whoever sits in it sees them."""

    LEFT = "left"
    RIGHT = "right"

    @property
    def other(self) -> "OwnSide":
        """The other one."""
        return OwnSide.RIGHT if self is OwnSide.LEFT else OwnSide.LEFT


class Measure(Enum):
    """What a setting with a role holds; the word is what to call it."""

    PULSE = "a pulse"
    """Counted in us."""
    END = "an end of the travel"
    """A pulse, or how far it is from the centre; in us both."""
    ANGLE = "an angle"
    """Counted in deg."""
    RATE = "a frame rate"
    """Counted in Hz."""
    DIRECTION = "a direction"
    SWITCH = "on or off"


class Role(Enum):
    """The roles; the word stands in descriptions."""

    LEFT_CENTRE = "left-centre"
    LEFT_AFT = "left-aft"
    LEFT_FORE = "left-fore"
    LEFT_DIRECTION = "left-direction"
    LEFT_RATE = "left-rate"
    LEFT_AFT_ANGLE = "left-aft-angle"
    LEFT_FORE_ANGLE = "left-fore-angle"
    LEFT_MOTOR_DIRECTION = "left-motor-direction"
    RIGHT_CENTRE = "right-centre"
    RIGHT_AFT = "right-aft"
    RIGHT_FORE = "right-fore"
    RIGHT_DIRECTION = "right-direction"
    RIGHT_RATE = "right-rate"
    RIGHT_AFT_ANGLE = "right-aft-angle"
    RIGHT_FORE_ANGLE = "right-fore-angle"
    RIGHT_MOTOR_DIRECTION = "right-motor-direction"
    SELF_LEVELLING = "self-levelling"
    STABILISATION = "stabilisation"
    MOUNT_YAW = "mount-yaw"
    MOUNT_PITCH = "mount-pitch"
    MOUNT_ROLL = "mount-roll"
    MOUNT_UPSIDE_DOWN = "mount-upside-down"
    LEVEL_ROLL = "level-roll"
    LEVEL_PITCH = "level-pitch"
    LEVEL_SET = "level-set"
    """Whether somebody has told the board what level is."""

    @property
    def measure(self) -> Measure:
        """What such a setting holds."""
        return MEASURES.get(self, Measure.ANGLE)

    @property
    def words(self) -> str:
        """What to call it to a person: `left centre`."""
        return self.value.replace("-", " ")


MEASURES: Final[Mapping[Role, Measure]] = {
    Role.LEFT_CENTRE: Measure.PULSE,
    Role.RIGHT_CENTRE: Measure.PULSE,
    Role.LEFT_AFT: Measure.END,
    Role.LEFT_FORE: Measure.END,
    Role.RIGHT_AFT: Measure.END,
    Role.RIGHT_FORE: Measure.END,
    Role.LEFT_DIRECTION: Measure.DIRECTION,
    Role.RIGHT_DIRECTION: Measure.DIRECTION,
    Role.LEFT_MOTOR_DIRECTION: Measure.DIRECTION,
    Role.RIGHT_MOTOR_DIRECTION: Measure.DIRECTION,
    Role.LEFT_RATE: Measure.RATE,
    Role.RIGHT_RATE: Measure.RATE,
    Role.SELF_LEVELLING: Measure.SWITCH,
    Role.STABILISATION: Measure.SWITCH,
    Role.MOUNT_UPSIDE_DOWN: Measure.SWITCH,
    Role.LEVEL_SET: Measure.SWITCH,
}
"""What the roles hold that hold no angle."""

OF_THE_TYPE: Final = frozenset(
    {
        Role.LEFT_RATE,
        Role.RIGHT_RATE,
        Role.LEFT_AFT_ANGLE,
        Role.LEFT_FORE_ANGLE,
        Role.RIGHT_AFT_ANGLE,
        Role.RIGHT_FORE_ANGLE,
        Role.SELF_LEVELLING,
        Role.STABILISATION,
    }
)
"""Roles whose values are the same on all aircraft of a type; the others are fitted."""


class Direction(Enum):
    """How a board lets a servo or a motor go: as it is built in, or the other way.

    Which way an arm really goes is measured; no word of a board tells it.
    """

    NORMAL = "normal"
    REVERSED = "reversed"

    @property
    def other(self) -> "Direction":
        """The other one."""
        return Direction.REVERSED if self is Direction.NORMAL else Direction.NORMAL


class Ends(Enum):
    """How a board counts the ends of the travel."""

    FROM_CENTRE = "from-centre"
    """How far from the centre, never below zero, whichever way that is."""
    PULSES = "pulses"
    """The pulse itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TiltRoles:
    """The roles of one tilt servo."""

    centre: Role
    aft: Role
    fore: Role
    direction: Role
    rate: Role
    aft_angle: Role
    fore_angle: Role

    def end(self, way: Way) -> Role:
        """The end that way."""
        return self.fore if way is Way.FORWARD else self.aft

    def angle(self, way: Way) -> Role:
        """The angle of the end that way."""
        return self.fore_angle if way is Way.FORWARD else self.aft_angle


TILT_ROLES: Final[Mapping[OwnSide, TiltRoles]] = {
    side: TiltRoles(
        centre=Role(f"{side.value}-centre"),
        aft=Role(f"{side.value}-aft"),
        fore=Role(f"{side.value}-fore"),
        direction=Role(f"{side.value}-direction"),
        rate=Role(f"{side.value}-rate"),
        aft_angle=Role(f"{side.value}-aft-angle"),
        fore_angle=Role(f"{side.value}-fore-angle"),
    )
    for side in OwnSide
}
"""What belongs to the tilt servo of each side."""

MOTOR_DIRECTIONS: Final[Mapping[OwnSide, Role]] = {
    side: Role(f"{side.value}-motor-direction") for side in OwnSide
}
"""Which way the motor of each side turns."""

"""What centring is to reach, where it stands, and what it ends with."""

from dataclasses import dataclass
from typing import Final

from benchlink.core.aiming import SURE, TOLERANCE_DEG, Found, Mark
from benchlink.core.angles import UPRIGHT, Degrees, Estimate, Side
from benchlink.core.approach import Route
from benchlink.core.bench_steps import (
    AskAgain,
    Look,
    Measure,
    MoveHorn,
    Refused,
    Widen,
)
from benchlink.core.moving import Arm
from benchlink.core.play import Play
from benchlink.core.seating import HornMove
from benchlink.core.servo_fit import Reading, ServoFit
from benchlink.units import PulseUs

PLAY_READINGS: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What centring is to reach."""

    angle_deg: Degrees = UPRIGHT
    side: Side = Side.FROM_AFT
    tolerance_deg: float = TOLERANCE_DEG
    sure: float = SURE
    throw_deg: float | None = None
    """Each way, where it is already known: a centre that leaves no room is refused."""
    play_readings: int = PLAY_READINGS

    @property
    def mark(self) -> Mark:
        """The centre itself."""
        return Mark(
            angle_deg=self.angle_deg,
            side=self.side,
            tolerance_deg=self.tolerance_deg,
            sure=self.sure,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Centred:
    """The result; the output should come to rest by `back`."""

    pulse_us: PulseUs
    angle: Estimate
    play: Play | None
    trim_us: float
    """Away from neutral."""
    readings: int
    fit: ServoFit
    back: Route
    remarks: tuple[str, ...] = ()


Action = Look | Measure | AskAgain | MoveHorn | Widen | Centred | Refused


@dataclass(frozen=True, slots=True, kw_only=True)
class Centring:
    """Where the procedure stands; `action` is what it asks for now."""

    wanted: Wanted
    arm: Arm
    action: Action
    taken: tuple[Reading, ...] = ()
    """Readings from the stated side since the horn was last moved."""
    readings: int = 0
    """All readings for the centre, also those before the horn was moved."""
    found: Found | None = None
    looks: int = 0
    unseen: int = 0
    """Looks at which nobody saw the arm move."""
    play_readings: int = 0
    horn_moves: int = 0
    seat_before: Estimate | None = None
    """Where the arm stood at neutral before the horn was moved."""
    move: HornMove | None = None
    """What was asked for then."""
    put_off: Look | Measure | MoveHorn | None = None
    """What waits for a wider window."""
    remarks: tuple[str, ...] = ()

    @property
    def over(self) -> bool:
        """Whether there is nothing more to do."""
        return isinstance(self.action, Centred | Refused)

"""What a procedure shows beside its words: figures for somebody who stands at arm's length.

A scene is the whole picture of one moment, so whoever draws it may leave out any that came
before the latest. Nothing here draws; a plain terminal needs none of it.
"""

from dataclasses import dataclass
from enum import Enum

from benchlink.core.angles import Degrees, Estimate
from benchlink.core.approach import Window
from benchlink.core.cautions import AT_A_GLANCE
from benchlink.core.roles import OwnSide
from benchlink.core.servo_fit import PulseEstimate, Reading
from benchlink.core.servo_part import Turns
from benchlink.core.throw_ends import NO_STOPS, End, Stops
from benchlink.units import Power, PulseUs, Seconds


@dataclass(frozen=True, slots=True)
class SceneKey:
    """One key, or a few that belong together, and what it does now."""

    key: str
    does: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """From one angle of the arm to another."""

    aft_deg: Degrees
    forward_deg: Degrees


@dataclass(frozen=True, slots=True, kw_only=True)
class TiltScene:
    """One tilt arm on its jig."""

    side: OwnSide
    asks: str
    """What is asked of the person now, in one short sentence."""
    pulse_us: PulseUs | None
    """What the output gives; None before the first pulse."""
    next_us: PulseEstimate | None
    """Where the arm goes next, or where the readings say that the wanted angle is."""
    wanted_deg: Degrees | None
    """None where any reading will do."""
    tolerance_deg: float
    read: Reading | None
    """The last one, at whatever pulse it was taken."""
    stands: Estimate | None
    """Where the readings say that the arm stands; None before the first pulse."""
    window: Window
    """Pulses that may be sent for now."""
    window_deg: Span | None
    """The same as angles; None where nobody knows which way the servo turns."""
    part_deg: Span | None
    """Where the pulses end that the servo takes."""
    turns: Turns
    stops: Stops = NO_STOPS
    play: Estimate | None = None
    """None until it was measured."""
    readings: int = 0
    ends: tuple[End, ...] = ()
    """Ends of the throw that were found."""
    keys: tuple[SceneKey, ...] = ()

    @property
    def within(self) -> bool:
        """The arm was read here, and stands as wanted within the tolerance."""
        read, wanted = self.read, self.wanted_deg
        if read is None or wanted is None or read.pulse_us != self.pulse_us:
            return False
        return abs(read.angle_deg - wanted) <= self.tolerance_deg

    @property
    def praises(self) -> Reading | None:
        """The reading that is worth a bell: the arm stands as it should."""
        return self.read if self.within else None

    @property
    def at_rest(self) -> bool:
        """Nothing turns: what holds the arm lets go by itself."""
        return True


class MotorState(Enum):
    """Whether a motor turns, as far as this end knows."""

    STOPPED = "stopped"
    RUNNING = "running"
    NOT_KNOWN = "not known"
    """The line was sent or not, and nobody answered: to be treated as running."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpinScene:
    """One motor that a key can run."""

    side: OwnSide
    asks: str
    """What is asked of the person now, in one short sentence."""
    state: MotorState
    power: Power
    ceiling: Power
    run_for: Seconds
    """How long a press runs, or the run that goes on was ordered for."""
    left: Seconds
    """What was left of it when this was said."""
    confirmed_for: Seconds | None = None
    """How much longer props off counted when this was said; None where it does not."""
    keys: tuple[SceneKey, ...] = ()
    cautions: tuple[str, ...] = AT_A_GLANCE

    @property
    def praises(self) -> Reading | None:
        """No reading."""
        return None

    @property
    def at_rest(self) -> bool:
        """Nothing turns, as far as this end knows."""
        return self.state is MotorState.STOPPED


Scene = TiltScene | SpinScene
"""Whatever a procedure can show."""

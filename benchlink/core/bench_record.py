"""One event at the bench as it is written down: who, when, what was read, what it gave.

Angles count from the datum that stands in the record itself; a fit is whole, so that
what was learned of a servo serves again after the next flight.
"""

from dataclasses import dataclass
from datetime import datetime
from enum import Enum

from benchlink.core.angles import DATUM, Degrees, Estimate, Side
from benchlink.core.bench_steps import Purpose
from benchlink.core.identity import Identity
from benchlink.core.play import Play
from benchlink.core.roles import OwnSide
from benchlink.core.servo_fit import Reading, ServoFit
from benchlink.core.throw_ends import End
from benchlink.units import PulseUs


class Work(Enum):
    """What was done at the bench."""

    CENTRE = "centre"
    THROW = "throw"
    SPIN = "spin"
    OUTPUTS = "outputs"
    TRIM = "trim"
    STEP = "step"
    """A step of the job by a person's word; `about` says which."""
    CHANGED = "changed"
    """Something on the aircraft was moved or exchanged; `about` says what."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """A reading of the jig, used or set aside, in the order of the event."""

    reading: Reading
    came: Side
    """Where the last move came from."""
    purpose: Purpose
    buzzed: bool = False
    """The servo hummed or got warm."""
    earlier: bool = False
    """Taken over from work that was broken off the same day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SideWork:
    """What was found or set on one side."""

    side: OwnSide
    centre_us: PulseUs | None = None
    """That the board holds from now on."""
    was_centre_us: PulseUs | None = None
    """That it held before."""
    by_deg: Degrees | None = None
    """What a trim added to the tilt."""
    angle: Estimate | None = None
    """Where the arm stands at the centre."""
    play: Play | None = None
    ends: tuple[End, ...] = ()
    taken: tuple[Taken, ...] = ()
    fit: ServoFit | None = None
    horn_moved: bool = False
    """Whether the horn was taken off in work that was broken off then."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What a person was asked about something that moved, and answered."""

    about: str
    """The motor or the output."""
    done: str
    """What it was told, with units: `8 % for 0.5 s`."""
    asked: str
    answer: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Override:
    """Something that was let pass, and why."""

    what: str
    reason: str


@dataclass(frozen=True, slots=True)
class Held:
    """A setting that the work rests on, and what the board held there."""

    name: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchRecord:
    """One event."""

    work: Work
    made_at: datetime
    """With its offset from UTC."""
    operator: str
    aircraft: str
    """Tail number; empty where nobody has said so."""
    board: Identity
    settings: str
    """Fingerprint of the settings that the board holds after it."""
    tool_version: str
    result: str
    """What came of it, in one sentence."""
    about: str = ""
    """The step, or what was changed, as it is typed."""
    right: bool = True
    """Whether all came out as it should; else `result` says what is still to do."""
    broken_off: str = ""
    """After what the work was broken off, `7 readings of the left arm`: nothing of it is
    proven. Empty where it came to its end."""
    datum: str = DATUM
    reason: str = ""
    sides: tuple[SideWork, ...] = ()
    said: tuple[Said, ...] = ()
    remarks: tuple[str, ...] = ()
    overrides: tuple[Override, ...] = ()
    held: tuple[Held, ...] = ()
    number: int = 0
    """Rises from record to record whatever the clock does; 0 until it is kept."""

    def side(self, side: OwnSide) -> SideWork | None:
        """What it says of one side; None where it is not about that side."""
        return next((work for work in self.sides if work.side is side), None)

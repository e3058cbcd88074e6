"""What a procedure asks for next, and what comes back from the bench.

A procedure is a frozen state with one `action`; the workflow carries it out and hands
the matching `Event` to `advance`. Nothing here moves anything.
"""

from dataclasses import dataclass
from enum import Enum

from benchlink.core.angles import Degrees, Estimate, Side, Way
from benchlink.core.approach import Route, Window
from benchlink.core.reading_words import Doubtful
from benchlink.core.seating import HornMove
from benchlink.units import PulseUs


class Purpose(Enum):
    """Why a reading is asked for."""

    FIRST = "where the arm stands at the neutral pulse"
    SEATED = "how the horn sits now"
    AIM = "the pulse that the readings so far point to"
    CHECK = "whether the arm stands where it should"
    PART_WAY = "most of the way, before the rest is risked"
    PLAY = "the same pulse from the other side"


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """Send the pulses of `route`, wait, and ask for a reading of the jig."""

    route: Route
    side: Side
    rising: bool
    """The last move of the route makes the pulse longer."""
    purpose: Purpose
    expected: Estimate
    """What the jig should show, with the noise of the reader."""

    @property
    def pulse_us(self) -> PulseUs:
        """Where the reading is taken."""
        return self.route[-1].pulse_us


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """Send `ready`, say "watch the arm", send `route`, ask which way it moved."""

    ready: Route
    route: Route


@dataclass(frozen=True, slots=True, kw_only=True)
class AskAgain:
    """A reading is doubtful; ask once more, the arm stays where it is."""

    doubtful: Doubtful
    measure: Measure
    said_deg: Degrees
    """What was written the first time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveHorn:
    """Hold the servo at the end of `route` and ask for the horn to be moved."""

    route: Route
    move: HornMove


@dataclass(frozen=True, slots=True, kw_only=True)
class Widen:
    """Ask whether pulses further out may be sent from now on."""

    window: Window


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """There is no result: what is in the way, and what to do about it."""

    reason: str
    hint: str
    back: Route = ()
    """Pulses to send at once, away from where the arm is held up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """A reading; answers `Measure` and `AskAgain`."""

    angle_deg: Degrees
    buzzes: bool = False
    """The servo hums or gets warm: it pushes against something."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """Which way the arm moved, None where that could not be told; answers `Look`."""

    way: Way | None


@dataclass(frozen=True, slots=True, kw_only=True)
class HornMoved:
    """The horn sits on its new tooth, screw in; answers `MoveHorn`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Widened:
    """The wider window was agreed to; answers `Widen`."""


Event = Seen | Watched | HornMoved | Widened

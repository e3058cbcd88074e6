"""What the work thread reports to the screen: plain values, one for each event."""

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from benchlink.core.doors import LinkHealth
    from benchlink.core.intent import Intent
    from benchlink.errors import BenchError
    from benchlink.faces.screen.entrance import Place
    from benchlink.faces.screen.rows import Row
    from benchlink.faces.wiring import Bench
    from benchlink.workflows.session import Session


class Errand(Enum):
    """What the work thread can be sent for."""

    LOOK = "look for ports"
    OPEN = "open the board"
    READ = "read the settings"
    CHECK = "ask whether the board is still there"


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """The ports that are there now."""

    places: "tuple[Place, ...]"


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A board was met."""

    bench: "Bench"
    intent: "Intent | None"
    trouble: "BenchError | None"
    """Why there is no profile to hold it against."""
    health: "LinkHealth"
    left: tuple[str, ...] = ()
    """What was left unfinished on this board, a sentence each."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """The settings, as two readings agreed on them."""

    bench: "Bench"
    rows: "tuple[Row, ...]"
    health: "LinkHealth"


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """The same board still answers."""

    bench: "Bench"
    session: "Session"
    health: "LinkHealth"


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A sentence for the person."""

    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Progressed:
    """How far a long step has come; `total` is 0 when nobody knows."""

    what: str
    done: int
    total: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Failed:
    """An errand came to nothing."""

    errand: Errand
    error: "BenchError"
    bench: "Bench | None"


@dataclass(frozen=True, slots=True, kw_only=True)
class Broke:
    """An errand met a mistake of our own."""

    error: Exception


@dataclass(frozen=True, slots=True, kw_only=True)
class Closed:
    """A board was let go."""

    bench: "Bench"


News = Seen | Opened | Read | Checked | Told | Progressed | Failed | Broke | Closed

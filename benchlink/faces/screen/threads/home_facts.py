"""What the home page shows, made on the work thread: plain values, no board in them."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from benchlink.units import Seconds

if TYPE_CHECKING:
    from datetime import date

    from benchlink.core.doors import LinkHealth
    from benchlink.core.identity import Identity, Readiness
    from benchlink.core.job_standing import StepState
    from benchlink.core.job_steps import Step

RESUME: Final = "resume"
UNDO: Final = "undo"


@dataclass(frozen=True, slots=True, kw_only=True)
class JobStep:
    """One step, and the words of the command that does it or writes it down."""

    state: "StepState"
    words: tuple[str, ...]
    by_hand: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeFacts:
    """The board and the job at one moment."""

    greeting: str
    steps: tuple[JobStep, ...]
    turn: "Step | None"
    """The step that is next, or first to do again; None where nothing is left."""
    today: "date"
    identity: "Identity"
    readiness: "Readiness | None"
    port: str
    speed: int | None
    health: "LinkHealth"
    folder: str = ""
    """Of the aircraft; empty where nobody has said whose board it is."""
    held: tuple[str, ...] = ()
    """Bench settings that are not put back."""
    unkept: tuple[str, ...] = ()
    """Changes that are neither done nor undone, a few words each."""
    left: tuple[str, ...] = ()
    """What was left unfinished, a sentence each."""
    ways: frozenset[str] = frozenset()
    """Of `resume` and `undo`, those that can go on with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Volts:
    """What feeds the board now; None where the console cannot tell, or not believably."""

    pack_v: float | None
    rail_v: float | None
    tells: bool = True
    """Whether the console has a way to tell either."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PropsOffFor:
    """A confirmation that no propeller is on, and how long it counts."""

    left: Seconds
    by: str
    void: str = ""
    """Why it counts no more; empty while it counts."""


AskProps = Callable[[], PropsOffFor | None]
"""Asked while the page is drawn: None where nothing was confirmed."""

"""What the work thread reports to the screen: plain values, one for each event."""

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from benchlink.core.doors import LinkHealth
    from benchlink.core.plan import Plan
    from benchlink.core.scene import Scene
    from benchlink.errors import BenchError
    from benchlink.faces.hands import Done, Look
    from benchlink.faces.screen.threads.entrance import Place
    from benchlink.faces.screen.threads.home_facts import HomeFacts, Volts
    from benchlink.faces.screen.threads.values_facts import ValuesFacts
    from benchlink.faces.wiring import Bench
    from benchlink.workflows.session import Session


class Errand(Enum):
    """What the work thread can be sent for."""

    LOOK = "look for ports"
    OPEN = "open the board"
    READ = "read the settings"
    CHECK = "ask whether the board is still there"
    JOB = "see how the job stands"
    FEED = "see what feeds the board"
    STATION = "work on the board"
    FREE = "finish what was asked of the board"
    RETURN = "wait for the board to come back"


class AskedFor(Enum):
    """What a question wants."""

    LINE = "a typed line"
    UNSEEN = "a typed line that does not show"
    KEYS = "single keys"
    NOTHING = "nothing any more"


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """The ports that are there now."""

    places: "tuple[Place, ...]"


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A board was met."""

    bench: "Bench"
    health: "LinkHealth"
    left: tuple[str, ...] = ()
    """What was left unfinished on this board, a sentence each."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """The settings, as two readings agreed on them."""

    bench: "Bench"
    facts: "ValuesFacts"


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """The same board still answers."""

    bench: "Bench"
    session: "Session"
    health: "LinkHealth"


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """How the job stands on the board."""

    bench: "Bench"
    facts: "HomeFacts"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fed:
    """What feeds the board."""

    bench: "Bench"
    volts: "Volts"


@dataclass(frozen=True, slots=True, kw_only=True)
class Returned:
    """The same board that went away is back."""

    bench: "Bench"
    port: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Freed:
    """Nothing is asked of the board any more: it can be talked to."""

    bench: "Bench"


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A sentence for the person."""

    sentence: str
    rings: bool = False
    """Whether a bell goes with it, for somebody who looks elsewhere."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Progressed:
    """How far a long step has come, in words; empty when it is over."""

    line: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A workflow waits for the person."""

    prompt: str
    for_what: AskedFor


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """The same question with another countdown."""

    prompt: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Showed:
    """Where things stand while keys are pressed."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Staged:
    """How a procedure stands, for whoever looks from afar; the latest counts."""

    scene: "Scene | None"
    """None takes the last one away."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Resulted:
    """A line of what came out."""

    line: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """What is about to be written."""

    plan: "Plan"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """A station is over."""

    bench: "Bench"
    code: int
    """As the verb's exit code."""


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Handled:
    """A hand did something at the simulated bench, or only looked."""

    done: "Done | None"
    look: "Look | None"
    """None where the aircraft does not answer."""


Dialogue = Told | Progressed | Asked | Counted | Showed | Staged | Resulted | Planned
"""What a workflow says and asks."""

AboutBoard = Read | Checked | Looked | Fed | Returned
"""What was asked of the board for one of its pages."""

News = (
    Seen
    | Opened
    | AboutBoard
    | Dialogue
    | Ended
    | Failed
    | Broke
    | Freed
    | Closed
    | Handled
)

"""What came of a typed line, how a board was left after a talk, and where both show."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Final, Protocol

from benchlink.console.description import Kept
from benchlink.console.talking import NOTHING_SENT
from benchlink.core.exchange import ACTED, Verdict

AGAIN: Final = "Type the line again to send it: "


class Fate(Enum):
    """What became of a typed line."""

    SENT = "sent"
    HELD = "not sent: what it needs was not typed"
    REFUSED = "not sent, whatever is typed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """A typed line, and what came of it."""

    line: str
    fate: Fate
    verdict: Verdict | None = None
    """How the board's answer ended; None where nothing was sent or none was due."""
    remark: str = ""
    """The board's words with a note or a refusal; ours where no answer came."""
    sentence: str = ""
    """Why it was not sent."""
    hint: str = ""

    @property
    def answered(self) -> bool:
        """Whether it was sent, and nothing is wrong with what came back."""
        return self.fate is Fate.SENT and (
            self.verdict is None or self.verdict in ACTED
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """A setting that is not as it was before the talk."""

    name: str
    before: str
    """As the board listed it; empty where it did not."""
    now: str
    kept: Kept
    """When this board keeps it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Parting:
    """How the board was left."""

    changed: tuple[Changed, ...]
    unkept: tuple[str, ...]
    """Changed settings that a restart would bring back as they were."""
    compared: bool = True
    """Whether the board could be read before and after."""


class Page(Protocol):
    """Where a talk is shown."""

    def sent(self, line: str) -> None:
        """A line leaves now."""
        ...

    def said(self, lines: Sequence[str]) -> None:
        """The board said this; nothing in it acts on a screen."""
        ...


def not_sent(line: str, fate: Fate, why: str, hint: str = NOTHING_SENT) -> Outcome:
    """A line of which no byte left."""
    return Outcome(line=line, fate=fate, sentence=why, hint=hint)

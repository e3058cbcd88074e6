"""How a run under faults can end, and what a campaign counts."""

from collections import Counter
from dataclasses import dataclass, field
from enum import Enum


class End(Enum):
    """Where the board and the words about it stood after all was over."""

    COMPLETE = "complete and right"
    UNPROVEN = "complete, told that no restart was seen"
    BACK = "rolled back and right"
    UNTOUCHED = "refused, untouched"
    RESUMED = "interrupted, then resumed right"
    UNDONE = "interrupted, then undone right"
    WRONG = "WRONG"


RIGHT_LATER = (End.RESUMED, End.UNDONE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ran:
    """One run."""

    seed: int
    console: str
    end: End
    why: str = ""
    """What was wrong: the first of it."""
    kind: str = ""
    """Which promise it broke."""
    story: tuple[str, ...] = ()
    """What happened, for whoever looks into it."""
    interrupted: int = 0
    """How often it was left unfinished."""
    cycled: int = 0
    """How often the board was silent until somebody switched it off and on."""
    fired: dict[str, tuple[int, int]] = field(default_factory=dict)
    """Per fault how often it came to pass, and how often it hit a write."""


SILENT = "silently wrong"
LOST_BACKUP = "lost backup"
UNEXPECTED = "unexpected exception"
NOT_RIGHT = "not right after resume or undo"
KINDS = (SILENT, LOST_BACKUP, UNEXPECTED, NOT_RIGHT)


@dataclass(slots=True)
class Census:
    """Many runs."""

    runs: int = 0
    ends: Counter[End] = field(default_factory=Counter)
    wrong: Counter[str] = field(default_factory=Counter)
    interrupted: int = 0
    cycled: int = 0
    fired: Counter[str] = field(default_factory=Counter)
    hit: Counter[str] = field(default_factory=Counter)
    runs_with: Counter[str] = field(default_factory=Counter)
    failures: list[Ran] = field(default_factory=list)

    def add(self, ran: Ran) -> None:
        """Count one."""
        self.runs += 1
        self.ends[ran.end] += 1
        self.interrupted += ran.interrupted > 0
        self.cycled += ran.cycled > 0
        for name, (fired, hit) in ran.fired.items():
            self.fired[name] += fired
            self.hit[name] += hit
            self.runs_with[name] += fired > 0
        if ran.end is End.WRONG:
            self.wrong[ran.kind] += 1
            self.failures.append(ran)

    def merge(self, other: "Census") -> None:
        """Count what another worker has counted."""
        self.runs += other.runs
        self.interrupted += other.interrupted
        self.cycled += other.cycled
        for mine, theirs in (
            (self.wrong, other.wrong),
            (self.fired, other.fired),
            (self.hit, other.hit),
            (self.runs_with, other.runs_with),
        ):
            mine.update(theirs)
        self.ends.update(other.ends)
        self.failures += other.failures

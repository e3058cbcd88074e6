"""How far a change to a board has come, so that it can be finished or undone later.

A journal holds old and new values of the whole change before the first byte is sent;
then one mark after the other. Whatever breaks, the last mark tells what may have
happened, and the board itself tells what did.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from enum import Enum
from typing import Final

from benchlink.core.identity import Identity
from benchlink.core.intent import NO_TOLERANCE
from benchlink.core.values import Value, within
from benchlink.errors import MisuseError


class Kind(Enum):
    """What a journal is about."""

    CHANGE = "change"
    """Values that shall outlive a restart."""
    BENCH = "bench state"
    """Values that hold while something is done at the bench, and go back after."""


class Mark(Enum):
    """Where a change stands: each is written down before what it names is begun."""

    READY = "nothing sent yet"
    WRITING = "writing"
    PROVEN = "written and read back, not kept"
    TRYING = "tried out, not kept"
    KEEPING = "being kept"
    RESTARTING = "told to keep, restarting"
    SETTLED = "through"
    UNDOING = "being put back"
    DONE = "done"
    UNDONE = "put back"
    GIVEN_UP = "given up by a person"


OPEN: Final = frozenset(
    {
        Mark.READY,
        Mark.WRITING,
        Mark.PROVEN,
        Mark.TRYING,
        Mark.KEEPING,
        Mark.RESTARTING,
        Mark.SETTLED,
        Mark.UNDOING,
    }
)
"""States in which the change is neither done nor undone."""

ALWAYS: Final = frozenset({Mark.WRITING, Mark.UNDOING, Mark.GIVEN_UP})
"""From every open state one may begin again, turn back, or give up."""

FOLLOWS: Final[Mapping[Mark, frozenset[Mark]]] = {
    Mark.READY: ALWAYS,
    Mark.WRITING: ALWAYS | {Mark.PROVEN, Mark.SETTLED},
    Mark.PROVEN: ALWAYS | {Mark.TRYING, Mark.KEEPING, Mark.RESTARTING, Mark.SETTLED},
    Mark.TRYING: ALWAYS | {Mark.KEEPING, Mark.RESTARTING, Mark.SETTLED},
    Mark.KEEPING: ALWAYS | {Mark.RESTARTING, Mark.SETTLED},
    Mark.RESTARTING: ALWAYS | {Mark.SETTLED},
    Mark.SETTLED: ALWAYS | {Mark.DONE},
    Mark.UNDOING: ALWAYS | {Mark.KEEPING, Mark.RESTARTING, Mark.UNDONE},
    Mark.DONE: frozenset(),
    Mark.UNDONE: frozenset(),
    Mark.GIVEN_UP: frozenset(),
}
"""The whole life of a change: which mark may follow which.

While old values are put back, `KEEPING` and `RESTARTING` are about those; `undoing` of a
`Story` tells the two apart.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One setting as it was, and what it shall hold."""

    name: str
    old: Value
    new: Value | None = None
    """None where nothing is asked of it: it shall stay as it was."""
    stage: int = 1
    within: Decimal = NO_TOLERANCE
    planned: bool = False
    """Whether it was to be written; others hold what is wanted already."""

    def is_new(self, now: Value) -> bool:
        """Whether a value is the wanted one."""
        return self.new is not None and within(now, self.new, self.within)


@dataclass(frozen=True, slots=True, kw_only=True)
class Transaction:
    """A change to one board, whole: from what every setting held to what it shall."""

    kind: Kind = Kind.CHANGE
    opened_at: datetime
    """With its offset from UTC."""
    what: str
    """What the person asked for, in words."""
    identity: Identity
    console: str
    console_hash: str
    port: str
    """Where the board was."""
    backup: str
    """Where the copy stands that was taken before."""
    entries: Mapping[str, Entry]

    @property
    def planned(self) -> tuple[Entry, ...]:
        """What was to be written."""
        return tuple(e for e in self.entries.values() if e.planned)

    @property
    def stages(self) -> int:
        """How many rounds of write, keep and restart it takes."""
        return max((e.stage for e in self.planned), default=1)


@dataclass(frozen=True, slots=True)
class Step:
    """One mark in a journal."""

    mark: Mark
    stage: int = 1


@dataclass(frozen=True, slots=True)
class Story:
    """The marks of a journal, oldest first; the last one is the state."""

    steps: tuple[Step, ...] = (Step(Mark.READY),)

    @property
    def state(self) -> Mark:
        """Where the change stands."""
        return self.steps[-1].mark

    @property
    def open(self) -> bool:
        """Whether the change is neither done nor undone."""
        return self.state in OPEN

    @property
    def undoing(self) -> bool:
        """Whether old values were being put back when it stopped."""
        for step in reversed(self.steps):
            if step.mark is Mark.UNDOING:
                return True
            if step.mark is Mark.WRITING:
                return False
        return False

    @property
    def may_be_kept(self) -> bool:
        """Whether the board may hold a value of this change after a power cycle."""
        return any(s.mark in {Mark.KEEPING, Mark.RESTARTING} for s in self.steps)

    @property
    def settled(self) -> frozenset[int]:
        """Stages that were kept and proven, and not touched since."""
        found: set[int] = set()
        for step in self.steps:
            if step.mark is Mark.SETTLED:
                found.add(step.stage)
            elif step.mark is Mark.WRITING:
                found.discard(step.stage)
            elif step.mark is Mark.UNDOING:
                found.clear()
        return frozenset(found)

    def then(self, step: Step) -> "Story":
        """The story with one more mark.

        Raises:
            MisuseError: that mark cannot follow.
        """
        if step.mark not in FOLLOWS[self.state]:
            msg = f"{step.mark.name} cannot follow {self.state.name}"
            raise MisuseError(msg)
        return Story((*self.steps, step))


@dataclass(frozen=True, slots=True, kw_only=True)
class Unfinished:
    """A change that was begun and neither finished nor undone."""

    transaction: Transaction
    story: Story
    path: str

    def __str__(self) -> str:
        told = self.transaction
        count = len(told.planned)
        values = "one value" if count == 1 else f"{count} values"
        stands = self.story.state.value
        if self.story.undoing and self.story.state is not Mark.UNDOING:
            stands = f"{Mark.UNDOING.value} ({stands})"
        return (
            f"{told.what} of {told.opened_at:%Y-%m-%d %H:%M} on {told.identity}"
            f" ({values}): {stands}"
        )

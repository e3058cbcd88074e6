"""What is said first at a board: whose it is, what changed since, what is still to do."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from benchlink.core.job_facts import KeptCopy, OnPaper
from benchlink.core.job_standing import StepState
from benchlink.core.journal import Kind, Unfinished

MONTHS: Final = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Greeted:
    """All that goes into the sentence."""

    name: str
    """Tail number, or the board where nobody has said whose it is."""
    paper: OnPaper
    unfinished: Sequence[Unfinished]
    """Changes and bench settings that are, or may be, on this board."""
    steps: Sequence[StepState]
    today: date


def greeting(greeted: Greeted) -> str:
    """One sentence."""
    held = {
        entry.name
        for one in _of(greeted, Kind.BENCH)
        for entry in one.transaction.planned
    }
    changes = len(_of(greeted, Kind.CHANGE))
    left = sum(state.left for state in greeted.steps)
    parts = [f"{greeted.name}, {_since(greeted, held)}"]
    if held:
        parts.append(f"{_count(len(held), 'bench setting')} not put back")
    if changes:
        parts.append(f"{_count(changes, 'change')} unfinished")
    parts.append(f"{_count(left, 'step')} open" if left else "no step open")
    return f"{'; '.join(parts)}."


def day(moment: date, today: date) -> str:
    """A day as people say it: `14 May`, with the year where that is another one."""
    year = "" if moment.year == today.year else f" {moment.year}"
    return f"{moment.day} {MONTHS[moment.month - 1]}{year}"


def _since(greeted: Greeted, held: set[str]) -> str:
    """How the board stands to the copy that was signed, or else to the latest."""
    for word, copy in _copies(greeted.paper):
        on = day(copy.taken_at.date(), greeted.today)
        off = [name for name in copy.off if name not in held]
        but = f", except {_count(len(off), 'value')}" if off else ""
        return f"as {word} on {on}{but}"
    return "never backed up here"


def _copies(paper: OnPaper) -> Iterator[tuple[str, KeptCopy]]:
    if paper.signed:
        yield "signed", paper.signed
    if paper.copy:
        yield "backed up", paper.copy


def _of(greeted: Greeted, kind: Kind) -> list[Unfinished]:
    return [one for one in greeted.unfinished if one.transaction.kind is kind]


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"

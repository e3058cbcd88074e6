"""A verb that talks to a board: opened before, let go of after, come what may."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Final

from benchlink.core.aircraft import Aircraft
from benchlink.core.doors import Records
from benchlink.faces.arguments import Given
from benchlink.faces.hangar import keeper, meet_aircraft
from benchlink.faces.left_open import left_open, note_of
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.wiring import Bench, Choice, open_bench, require_free, stamp
from benchlink.workflows.backup import Stamp
from benchlink.workflows.finishing import Found

KEEPING: Final = frozenset({"backup", "apply", "change", "restore", "resume", "undo"})
"""Verbs whose `--out` is the place of a backup."""

COMMAND_LINE: Final = "the command line"
"""Where a value stands that was typed, for messages."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AtBoard:
    """The board and the person, for one verb."""

    bench: Bench
    person: PlainPerson
    aircraft: Aircraft | None
    """The one that this board belongs to; None where nobody has said so."""
    found: list[Found] = field(default_factory=list)
    """What was left unfinished on this board; it was told already."""

    @property
    def who(self) -> str:
        """The board, by its aircraft's tail number where it has one."""
        identity = str(self.bench.session.identity)
        return f"{self.aircraft.tail}: {identity}" if self.aircraft else identity

    def stamp(self, note: str) -> Stamp:
        """What goes onto a backup taken now: what is unfinished is said on it."""
        return stamp(self.bench, "; ".join(filter(None, (note, note_of(self.found)))))

    def records(self, out: str | None) -> Records:
        """Where backups go."""
        return keeper(out, self.aircraft)


def choice_of(given: Given) -> Choice:
    """Which board the command line means."""
    return Choice(
        port=given.port,
        console=given.console,
        speed=given.baud,
        record=given.record,
        verb=given.verb or "",
    )


@contextmanager
def at_board(given: Given) -> Iterator[AtBoard]:
    """Open the board that was meant, and close it however the verb ends."""
    if given.verb in KEEPING:
        require_free(given.out)
    person = PlainPerson()
    try:
        bench = open_bench(choice_of(given), person)
        try:
            aircraft = meet_aircraft(bench, person, given.aircraft or "")
            found = left_open(bench.session.identity, person)
            yield AtBoard(bench=bench, person=person, aircraft=aircraft, found=found)
        finally:
            bench.close()
    finally:
        person.done()

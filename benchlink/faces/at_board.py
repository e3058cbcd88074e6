"""A verb that talks to a board: opened before, let go of after, come what may."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from benchlink.core.aircraft import Aircraft
from benchlink.core.doors import Records
from benchlink.faces.arguments import Given
from benchlink.faces.hangar import keeper, meet_aircraft
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.wiring import Bench, Choice, open_bench


@dataclass(frozen=True, slots=True, kw_only=True)
class AtBoard:
    """The board and the person, for one verb."""

    bench: Bench
    person: PlainPerson
    aircraft: Aircraft | None
    """The one that this board belongs to; None where nobody has said so."""

    @property
    def who(self) -> str:
        """The board, by its aircraft's tail number where it has one."""
        identity = str(self.bench.session.identity)
        return f"{self.aircraft.tail}: {identity}" if self.aircraft else identity

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
    person = PlainPerson()
    try:
        bench = open_bench(choice_of(given), person)
        try:
            aircraft = meet_aircraft(bench, person, given.aircraft or "")
            yield AtBoard(bench=bench, person=person, aircraft=aircraft)
        finally:
            bench.close()
    finally:
        person.done()

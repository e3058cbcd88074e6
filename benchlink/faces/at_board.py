"""A verb that talks to a board: opened before, let go of after, come what may."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import Final

from benchlink.core.aircraft import Aircraft
from benchlink.core.doors import BenchRecords, Records
from benchlink.errors import LinkError
from benchlink.faces.arguments import Given
from benchlink.faces.hangar import keeper, meet_aircraft, record_keeper
from benchlink.faces.last_answers import Answers
from benchlink.faces.left_open import left_open, note_of
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.talker import Talker
from benchlink.faces.wiring import Bench, Choice, open_bench, require_free, stamp
from benchlink.faces.wording import plain
from benchlink.link.replay import PLAYED
from benchlink.workflows.backup import Stamp
from benchlink.workflows.finishing import Found
from benchlink.workflows.session import meet_again

KEEPING: Final = frozenset(
    {"backup", "apply", "change", "restore", "resume", "undo", "trim"}
)
"""Verbs whose `--out` is the place of a backup."""

COMMAND_LINE: Final = "the command line"
"""Where a value stands that was typed, for messages."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AtBoard:
    """The board and the person, for one verb."""

    bench: Bench
    person: Talker
    aircraft: Aircraft | None
    """The one that this board belongs to; None where nobody has said so."""
    found: list[Found] = field(default_factory=list)
    """What was left unfinished on this board; it was told already."""

    @property
    def who(self) -> str:
        """The board, by its aircraft's tail number where it has one."""
        identity = str(self.bench.session.identity)
        return f"{self.aircraft.tail}: {identity}" if self.aircraft else identity

    @property
    def last_answers(self) -> Answers:
        """What was answered at this board so far: to be offered, and replaced."""
        return self.bench.answers.of(self.bench.session)

    def say(self, *lines: str) -> None:
        """Give lines of what came out: data, where `person.tell` is narration."""
        if lines:
            self.person.result("\n".join(map(plain, lines)))

    def stamp(self, note: str) -> Stamp:
        """What goes onto a backup taken now: what is unfinished is said on it."""
        return stamp(self.bench, "; ".join(filter(None, (note, note_of(self.found)))))

    def records(self, out: str | None) -> Records:
        """Where backups go."""
        return keeper(out, self.aircraft)

    def bench_records(self) -> BenchRecords:
        """Where work at the bench is written down.

        Raises:
            UsageError: nobody knows which aircraft this is.
        """
        return record_keeper(self.bench, self.aircraft, self.person)


def choice_of(given: Given) -> Choice:
    """Which board the command line means."""
    return Choice(
        port=given.port,
        console=given.console,
        speed=given.baud,
        record=given.record,
        verb=given.verb or "",
    )


def at_opened(bench: Bench, person: Talker, given: Given) -> AtBoard:
    """The same for a board that is open already, as it answers now.

    Raises:
        LinkError: it does not answer any more.
        WrongBoardError: another board answers, or one of another aircraft.
    """
    # Since it was met, it may have been restarted, armed, unplugged or exchanged.
    again = replace(bench, session=meet_again(bench.session))
    return _at(again, person, given)


@contextmanager
def at_board(given: Given) -> Iterator[AtBoard]:
    """Open the board that was meant, and close it however the verb ends."""
    if given.verb in KEEPING:
        require_free(given.out)
    person = PlainPerson()
    try:
        bench = open_bench(choice_of(given), person)
        try:
            yield _at(bench, person, given)
        except LinkError as exc:
            if bench.recorded:  # there is no cable to look at, and nothing to resume
                exc.hint = PLAYED
            raise
        finally:
            bench.close()
    finally:
        person.done()


def _at(bench: Bench, person: Talker, given: Given) -> AtBoard:
    """Recognise the aircraft, and say what was left unfinished."""
    aircraft = meet_aircraft(bench, person, given.aircraft or "")
    found = left_open(bench, person)
    return AtBoard(bench=bench, person=person, aircraft=aircraft, found=found)

"""One piece of work at the bench, and where what was read is written down, come what may.

Work that comes to its end keeps a record of its own. Whatever ends it before (a cable, a
key, a refusal, a fault of ours), what was read and seen until then is kept as a record
that proves nothing, and the person is told where it is.
"""

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Final, final

from benchlink.core.angles import angle_words
from benchlink.core.bench_record import BenchRecord, SideWork, Work
from benchlink.core.broken_off import resting_on
from benchlink.core.doors import BenchRecords
from benchlink.core.job_steps import Step
from benchlink.errors import BenchError, FileError
from benchlink.faces.interrupts import Interrupts
from benchlink.faces.output_words import said_of_outputs
from benchlink.faces.spin_words import proven_of, said_of
from benchlink.faces.wiring import now
from benchlink.faces.wording import plain
from benchlink.version import VERSION
from benchlink.workflows.job import rests_on
from benchlink.workflows.notebook import Notebook

if TYPE_CHECKING:
    from benchlink.core.bench_record import Held
    from benchlink.core.settings import Snapshot
    from benchlink.faces.at_board import AtBoard
    from benchlink.workflows.bench_watch import Who

INTERRUPTED: Final = "interrupted"
LEFT: Final = "it was left before its end"
FAULT: Final = "a fault of benchlink itself"
CHANGING: Final = (
    "the change of the settings was begun: `benchlink unfinished` tells what is open"
)


@final
@dataclass(slots=True, kw_only=True)
class Noting:
    """The work, its notes, and the folder of records."""

    at: "AtBoard"
    work: Work
    who: "Who"
    before: "Snapshot"
    """All settings, as they were read at the beginning."""
    records: BenchRecords
    notes: Notebook = field(default_factory=Notebook)
    interrupts: Interrupts = field(default_factory=Interrupts)
    """How it is ended from outside: once."""
    written: bool = False
    """Whether a record of its own was kept: then there is nothing to save."""

    def keep(self, record: BenchRecord) -> str:
        """Keep the record of work that came to its end, and say where it stands.

        Raises:
            FileError: it could not be written.
        """
        path = self.records.keep(record)
        self.written = True
        return path

    def held(self) -> tuple["Held", ...]:
        """What readings rest on: how the servos turn, and where they are plugged in."""
        description = self.at.bench.session.grammar.description
        return rests_on(Step.WIGGLE, description, self.before)

    def save(self, why: str, made_at: datetime) -> None:
        """Keep what there is, and say where; or say all of it where no file takes it."""
        what = self.notes.what
        if self.written or not what:
            return
        self.written = True
        try:
            path = self.records.keep(self._record(why, made_at))
        except FileError as error:
            self._tell(f"NOT written down: {what}. {error}. {error.hint}")
            for line in self._lines():
                self._tell(f"  {line}")
            return
        self._tell(f"Nothing read is lost: {what}, in {path}.")
        if any(map(resting_on, self.notes.sides)):
            verb = f"`benchlink {self.work.value}`"
            self._tell(f"{verb}, begun again today, can go on from what was read.")

    def _tell(self, sentence: str) -> None:
        """Say it; whoever interrupts a screen there has it said, and an end already."""
        with suppress(KeyboardInterrupt):
            self.at.person.tell(sentence)

    def _record(self, why: str, made_at: datetime) -> BenchRecord:
        notes = self.notes
        return BenchRecord(
            work=self.work,
            made_at=made_at,
            operator=self.who.operator,
            aircraft=self.who.aircraft,
            board=self.at.bench.session.identity,
            settings=self.before.fingerprint(),
            tool_version=VERSION,
            result=plain(f"broken off: {why}; {notes.what}"),
            right=False,
            broken_off=notes.what,
            sides=notes.sides,
            said=(*said_of_outputs(notes.observed), *said_of(notes.answers)),
            remarks=(*proven_of(notes.proofs), *notes.remarks),
            held=self.held(),
        )

    def _lines(self) -> Iterator[str]:
        yield from map(_readings, self.notes.sides)
        for said in (
            *said_of_outputs(self.notes.observed),
            *said_of(self.notes.answers),
        ):
            yield f"{said.about}, {said.done}: {said.answer}"
        yield from proven_of(self.notes.proofs)


@contextmanager
def noting(noted: Noting) -> Iterator[Noting]:
    """Save what was noted where the work ends without a record of its own."""
    with noted.interrupts.heeded_once():
        try:
            yield noted
        except BenchError as exc:
            noted.interrupts.end()
            noted.save(str(exc), now())
            raise
        except BaseException as exc:
            noted.interrupts.end()
            stopped = isinstance(exc, KeyboardInterrupt)
            noted.save(INTERRUPTED if stopped else FAULT, now())
            raise
        else:
            noted.interrupts.end()
            noted.save(LEFT, now())


def _readings(work: SideWork) -> str:
    read = (
        f"{angle_words(taken.reading.angle_deg)} at {taken.reading.pulse_us:.0f} us"
        for taken in work.taken
    )
    return f"{work.side.value}: {', '.join(read)}"

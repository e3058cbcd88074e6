"""Where a job stands: the board at the bench beside all that was written down of it."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from benchlink.core.bench_record import BenchRecord, Work
from benchlink.core.greeting import Greeted, greeting
from benchlink.core.job_facts import BoardNow, KeptCopy, OnPaper
from benchlink.core.job_standing import StepState, standings
from benchlink.core.job_steps import Step
from benchlink.core.settings import Snapshot, moved
from benchlink.errors import UsageError
from benchlink.faces.hangar import own_layers
from benchlink.faces.named_files import fitting_profile
from benchlink.faces.newest_copy import copies, kept, newest_copy
from benchlink.faces.wiring import now
from benchlink.workflows.job import Wishes, board_now
from benchlink.workflows.read import read_settled

if TYPE_CHECKING:
    from benchlink.faces.at_board import AtBoard
    from benchlink.faces.newest_copy import FoundCopy

COPY: Final = "copy: "
"""Begins the remark of a signature that names the copy it is for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobNow:
    """A job, and what its steps were judged by."""

    name: str
    """Tail number, or the board where nobody has said whose it is."""
    greeting: str
    states: tuple[StepState, ...]
    board: BoardNow
    snapshot: Snapshot

    def state(self, step: Step) -> StepState:
        """How one step stands."""
        return next(state for state in self.states if state.step is step)


def job_now(at: "AtBoard", profile: str | None = None) -> JobNow:
    """Read the board and all that is on paper; `profile` counts where no aircraft does.

    Raises:
        BoardError: no two readings of the board agree.
        FileError: what the board should hold has mistakes.
        LinkError: the port went away or the board fell silent for good.
    """
    return job_of(at, read_settled(at.bench.session, at.person), profile)


def job_of(at: "AtBoard", snapshot: Snapshot, profile: str | None = None) -> JobNow:
    """The same by a reading that was taken already.

    Raises:
        FileError: what the board should hold has mistakes.
    """
    session = at.bench.session
    wishes = _wishes(at, profile)
    board = board_now(session, snapshot, wishes)
    paper = _on_paper(at, snapshot)
    states = standings(paper, board)
    name = at.aircraft.tail if at.aircraft else str(session.identity)
    greeted = Greeted(
        name=name,
        paper=paper,
        unfinished=[one.unfinished for one in at.found],
        steps=states,
        today=now().date(),
    )
    return JobNow(
        name=name,
        greeting=greeting(greeted),
        states=states,
        board=board,
        snapshot=snapshot,
    )


def _wishes(at: "AtBoard", profile: str | None) -> Wishes | None:
    if at.aircraft is not None:
        return Wishes(intent=own_layers(at.aircraft))
    intent = fitting_profile(profile, at.bench)
    if intent is None:
        return None
    return Wishes(intent=intent, profile=profile or Path(intent.source).stem)


def _on_paper(at: "AtBoard", snapshot: Snapshot) -> OnPaper:
    records = _records(at)
    signed = _signed_copy(records)
    named = tuple(path for path in kept(at) if path.name == signed) if signed else ()
    return OnPaper(
        records=records,
        copy=_beside(newest_copy(at), snapshot),
        signed=_beside(next(copies(at, named), None), snapshot),
    )


def _records(at: "AtBoard") -> tuple[BenchRecord, ...]:
    try:
        return at.bench_records().kept()
    except UsageError:
        return ()


def _signed_copy(records: tuple[BenchRecord, ...]) -> str:
    """The file name of the copy that was signed last."""
    for record in reversed(records):
        if record.work is Work.STEP and record.about == Step.SIGN.value:
            named = (r.removeprefix(COPY) for r in record.remarks if r.startswith(COPY))
            return next(named, "")
    return ""


def _beside(found: "FoundCopy | None", snapshot: Snapshot) -> KeptCopy | None:
    """A copy beside what the board holds now."""
    if found is None:
        return None
    backup = found.backup
    return KeptCopy(
        taken_at=backup.taken_at,
        board=backup.identity,
        path=str(found.path),
        off=moved(backup.snapshot, snapshot),
    )

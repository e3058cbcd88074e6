"""Where a job stands: the board at the bench beside all that was written down of it."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from benchlink.core.bench_record import BenchRecord, Work
from benchlink.core.greeting import Greeted, greeting
from benchlink.core.job_facts import BoardNow, KeptCopy, OnPaper
from benchlink.core.job_standing import StepState, standings
from benchlink.core.job_steps import Step
from benchlink.core.settings import Snapshot, moved
from benchlink.errors import FileError, UsageError
from benchlink.faces.hangar import own_layers
from benchlink.faces.named_files import as_today, fitting_profile
from benchlink.faces.wiring import BACKUP_FOLDER, now
from benchlink.store.aircraft_folder import backups_of
from benchlink.store.backups import Backups, load
from benchlink.workflows.job import Wishes, board_now
from benchlink.workflows.read import read_settled

if TYPE_CHECKING:
    from benchlink.core.backup import Backup
    from benchlink.faces.at_board import AtBoard

COPY: Final = "copy: "
"""Begins the remark of a signature that names the copy it is for."""
LOOKS_BACK: Final = 20
"""Copies that are opened in search of one of this board."""


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
    session = at.bench.session
    wishes = _wishes(at, profile)
    snapshot = read_settled(session, at.person)
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
    own = backups_of(at.aircraft).kept() if at.aircraft else ()
    # A board that has just got its folder was copied before it had one.
    kept = (*Backups(Path(BACKUP_FOLDER)).kept(), *own)
    copies = _copies(at, kept[: -LOOKS_BACK - 1 : -1], snapshot)
    signed = _signed_copy(records)
    named = [path for path in kept if path.name == signed] if signed else []
    return OnPaper(
        records=records,
        copy=next(copies, None),
        signed=next(_copies(at, tuple(named), snapshot), None),
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


def _copies(
    at: "AtBoard", paths: tuple[Path, ...], snapshot: Snapshot
) -> Iterator[KeptCopy]:
    """Copies that were understood; what cannot be read is told."""
    for path in paths:
        try:
            backup = as_today(load(path), path, at.bench).backup
        except FileError as error:
            at.person.tell(f"Skipped: {error}")
            continue
        if backup.snapshot.settings and _counts(at, path, backup):
            yield KeptCopy(
                taken_at=backup.taken_at,
                board=backup.identity,
                path=str(path),
                off=moved(backup.snapshot, snapshot),
            )


def _counts(at: "AtBoard", path: Path, backup: "Backup") -> bool:
    """In the aircraft's own folder all do; elsewhere those of this board."""
    own = at.aircraft is not None and path.is_relative_to(at.aircraft.folder)
    return own or backup.identity.surely_same(at.bench.session.identity)

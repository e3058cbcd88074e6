"""Carrying a change out: stage by stage write, prove, keep, restart, prove again.

Every failure that leaves the board reachable ends with the old values, proven; a board
out of reach is waited for; what cannot be ended here stays in the journal, for `resume`
and `undo`.
"""

from dataclasses import dataclass, replace

from benchlink.core.difference import Difference
from benchlink.core.journal import Mark
from benchlink.core.refusal import NotTakenError, not_taken
from benchlink.core.settings import Snapshot
from benchlink.errors import (
    BenchError,
    DeclinedError,
    LinkError,
    MismatchError,
    SilentBoardError,
    WrongBoardError,
)
from benchlink.units import Seconds
from benchlink.workflows.bring import Brought, Trouble, bring
from benchlink.workflows.clear_hands import with_hands_clear
from benchlink.workflows.keeping import Proof, keep_and_read, not_kept
from benchlink.workflows.read import read_settled
from benchlink.workflows.returning import wait_for_return
from benchlink.workflows.roll_back import LATER, after_power_cycle, roll_back
from benchlink.workflows.run import Run, mark_the_end
from benchlink.workflows.session import require_at_rest
from benchlink.workflows.trying import try_out
from benchlink.workflows.unwritten import NOTHING_MORE

NO_TIME = Seconds(0.0)
RETURNS = 3
"""How often a board may go away in one change before it is left to the journal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """How a change is carried out."""

    try_for: Seconds = NO_TIME
    """How long the new values are on trial; nothing is tried at 0."""
    wait_for: Seconds = NO_TIME
    """How long a board that went away is waited for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """The board after a change that came out right."""

    after: Snapshot
    proof: Proof
    remarks: tuple[Trouble, ...] = ()


def carry(run: Run, course: Course, difference: Difference | None = None) -> Carried:
    """Bring the board through all stages and prove it.

    `difference` is what the plan was made of: a failure tells it by setting.

    Raises:
        NotTakenError: the board does not hold what it should; it was put back.
        LinkError: it went away and did not return; the journal stays open.
        DeclinedError: the person did not want what was tried; it was put back.
    """
    for returns in range(RETURNS + 1):
        try:
            return _forward(run, course, difference)
        except LinkError as lost:
            wait = course.wait_for if returns < RETURNS else NO_TIME
            run = _with_it_back(run, wait, lost)
        except (BenchError, KeyboardInterrupt) as exc:
            _back_after(exc, run)
            raise
    raise AssertionError  # the last round raises


def _forward(run: Run, course: Course, difference: Difference | None) -> Carried:
    remarks: list[Trouble] = []
    proof = Proof.EARLIER
    now = run.now or read_settled(run.session, run.person, "reading")
    for stage in range(1, run.transaction.stages + 1):
        goal = run.goal(stage)
        if stage in run.journal.story.settled and not not_kept(
            goal, now, run.lost_at_restart
        ):
            continue
        require_at_rest(run.session)
        run = with_hands_clear(run, so_far=NOTHING_MORE, restart=run.restarts)
        goal = run.goal(stage)
        run.journal.mark(Mark.WRITING, stage)
        brought = bring(run.session, run.person, goal, now)
        _require_taken(brought, difference)
        remarks += brought.remarks
        run.journal.mark(Mark.PROVEN, stage)
        if course.try_for and not try_out(run, course.try_for):
            msg = "nobody said that the new values shall be kept"
            raise DeclinedError(msg)
        run, now, proof = keep_and_read(run, stage)
        wrong = not_kept(goal, now, run.lost_at_restart)
        if wrong:
            msg = "after the restart the board does not hold what was kept"
            raise MismatchError(msg, details=wrong)
        run.journal.mark(Mark.SETTLED, stage)
    mark_the_end(run, Mark.DONE)
    return Carried(after=now, proof=proof, remarks=tuple(remarks))


def _require_taken(brought: Brought, difference: Difference | None) -> None:
    if not brought.troubles:
        return
    msg = "the board does not hold what was asked for"
    raise NotTakenError(
        msg,
        details=tuple(map(str, brought.troubles)),
        difference=not_taken(
            difference or Difference(findings=()),
            refused={t.name: t.refusal for t in brought.troubles if t.refusal},
            untaken={t.name: t.text for t in brought.troubles},
        ),
    )


def _with_it_back(run: Run, wait: Seconds, lost: LinkError) -> Run:
    """The run with its board, or the error that says how things stand."""
    try:
        back = wait_for_return(run, wait, lost)
        require_at_rest(back.session)
        # What may move was agreed to before the board went away: ask again.
        return with_hands_clear(back, so_far=NOTHING_MORE, restart=back.restarts)
    except (BenchError, KeyboardInterrupt) as exc:
        stands = f"{after_power_cycle(run)} {LATER}"
        if isinstance(exc, KeyboardInterrupt):
            run.person.tell(f"{lost}. {stands}")
        else:
            exc.hint = f"{_advice(exc)} {stands}".strip()
        raise


def _back_after(exc: BenchError | KeyboardInterrupt, run: Run) -> None:
    if isinstance(exc, WrongBoardError):
        exc.hint = f"{exc.hint} {LATER}"
        return
    if isinstance(exc, KeyboardInterrupt):
        run.person.tell("interrupted; interrupting again leaves it to the journal")
    outcome = roll_back(_latest(run))
    if isinstance(exc, BenchError):
        exc.hint = outcome
    else:
        run.person.tell(outcome)


def _latest(run: Run) -> Run:
    """The run in the epoch of now: a restart in between voids nothing but proofs."""
    return replace(run, now=None)


def _advice(exc: BenchError) -> str:
    """Its hint; what a silent board's hint calls unchanged has been written to here."""
    return "" if isinstance(exc, SilentBoardError) else exc.hint

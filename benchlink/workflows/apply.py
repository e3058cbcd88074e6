"""Changing a board: plan, backup, write, read back, keep, restart, read again, equal.

Until the keep, every failure puts the old values back and proves it; a board that was
told to keep and then does not hold what it should is reported with its backup.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from benchlink.core.doors import Person, Records
from benchlink.core.exchange import Verdict, require_done
from benchlink.core.plan import Plan
from benchlink.core.settings import Snapshot, moved
from benchlink.errors import (
    BenchError,
    LinkError,
    MismatchError,
    RefusedError,
    SilentBoardError,
)
from benchlink.workflows.agreement import get_agreement
from benchlink.workflows.backup import Kept, Stamp, keep
from benchlink.workflows.bring import bring
from benchlink.workflows.planning import Prepared
from benchlink.workflows.put_back import POWER_CYCLE, put_back
from benchlink.workflows.read import read_once, read_settled
from benchlink.workflows.session import Session, meet_again, require_at_rest


@dataclass(frozen=True, slots=True, kw_only=True)
class Applied:
    """What was done, and the proof."""

    plan: Plan
    kept: Kept | None
    """The backup taken before; None where nothing had to change."""
    after: Snapshot
    remarks: tuple[str, ...] = ()


def apply(
    prepared: Prepared,
    person: Person,
    records: Records,
    stamp: Stamp,
    *,
    agreed: bool,
) -> Applied:
    """Carry out a plan and prove it.

    `agreed` says that the person already agreed to the plan itself; never to motion.

    Raises:
        SafetyRefusalError: outputs are live, or nobody confirmed what may move.
        DeclinedError: the person said no.
        MismatchError: the board does not hold what it should; it was put back.
    """
    plan, snapshot = prepared.plan, prepared.snapshot
    person.show_plan(plan)
    if not plan.changes:
        return Applied(plan=plan, kept=None, after=snapshot)
    require_at_rest(prepared.session)
    get_agreement(plan, person, agreed=agreed)
    if not agreed or plan.moving or plan.one_way:
        # Somebody was asked, so time has passed.
        _refuse_stale(prepared, person)
    kept = keep(prepared.session, snapshot, records, stamp)
    person.tell(f"backed up to {kept.path}")
    remarks = _write_and_prove(prepared, person)
    after = _keep_and_prove(prepared, person, kept)
    return Applied(plan=plan, kept=kept, after=after, remarks=remarks)


def _refuse_stale(prepared: Prepared, person: Person) -> None:
    now = read_once(prepared.session, person, "checking")
    strays = moved(prepared.snapshot, now)
    if strays:
        msg = "the board changed while the plan was being looked at"
        raise MismatchError(
            msg, details=strays, hint="Nothing was written. Make a new plan."
        )


def _write_and_prove(prepared: Prepared, person: Person) -> tuple[str, ...]:
    try:
        brought = bring(prepared.session, person, prepared.goal, prepared.snapshot)
    except (BenchError, KeyboardInterrupt) as exc:
        _put_back_after(exc, prepared, person)
        raise
    if brought.troubles:
        msg = "the board does not hold what was asked for"
        error = MismatchError(msg, details=tuple(map(str, brought.troubles)))
        error.hint = put_back(prepared, person)
        raise error
    return tuple(map(str, brought.remarks))


def _put_back_after(
    exc: BenchError | KeyboardInterrupt, prepared: Prepared, person: Person
) -> None:
    if isinstance(exc, LinkError):
        exc.hint = f"{_advice(exc)} {POWER_CYCLE}".strip()
        return
    outcome = put_back(prepared, person)
    if isinstance(exc, BenchError):
        exc.hint = outcome
    else:
        person.tell(outcome)


def _keep_and_prove(prepared: Prepared, person: Person, kept: Kept) -> Snapshot:
    person.tell("keeping")
    session = prepared.session
    with _unproven(person, kept):
        (answer,) = session.board.ask([session.grammar.command("keep")])
    if answer.verdict is Verdict.REFUSED:
        msg = f"the board refused to keep: {answer.remark}"
        raise RefusedError(msg, hint=put_back(prepared, person))
    if not answer.trusted:
        person.tell("the answer to the keep is missing; the restart will show")
    with _unproven(person, kept):
        after = _restart_and_read(session, person)
    _require_kept(prepared, after, kept)
    return after


@contextmanager
def _unproven(person: Person, kept: Kept) -> Iterator[None]:
    """Between the keep and its proof nobody knows what the board kept."""
    unknown = (
        "Whether the board kept the new values is not known: compare it when it is"
        f" back. What it held before is in {kept.path}."
    )
    try:
        yield
    except BenchError as exc:
        exc.hint = f"{_advice(exc)} {unknown}".strip()
        raise
    except KeyboardInterrupt:
        person.tell(unknown)
        raise


def _advice(exc: BenchError) -> str:
    """Its hint; what a silent board's hint calls unchanged has been written to here."""
    return "" if isinstance(exc, SilentBoardError) else exc.hint


def _restart_and_read(session: Session, person: Person) -> Snapshot:
    person.tell("restarting the board")
    grammar = session.grammar
    manner = grammar.description.manner
    answer = session.board.restart(grammar.command("restart"), manner.back_within)
    if answer.verdict is Verdict.REFUSED:
        require_done(answer)
    return read_settled(meet_again(session), person, "reading after the restart")


def _require_kept(prepared: Prepared, after: Snapshot, kept: Kept) -> None:
    goal = prepared.goal
    wrong = [
        f"{name}: kept {value}, after the restart {_shown(after, name)}"
        for name, value in goal.wanted.items()
        if name not in after.settings
        or not goal.reached(name, after.settings[name].value)
    ]
    wrong += [
        f"{name}: nobody asked for it, yet it changed"
        for name in moved(goal.before, after)
        if name not in goal.wanted
    ]
    if wrong:
        msg = "after the restart the board does not hold what was kept"
        raise MismatchError(
            msg,
            details=tuple(wrong),
            hint=f"`benchlink restore {kept.path}` brings the board back to before.",
        )


def _shown(snapshot: Snapshot, name: str) -> str:
    setting = snapshot.settings.get(name)
    return str(setting.value) if setting else "it is gone"

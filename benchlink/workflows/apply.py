"""Changing a board: plan, backup, write, read back, keep, restart, read again, equal.

Until the keep, every failure puts the old values back and proves it; a board that was
told to keep and then does not hold what it should is reported with its backup.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchlink.console.description import Kept as KeptWhen
from benchlink.core.doors import Person, Records
from benchlink.core.plan import Plan
from benchlink.core.refusal import NotTakenError, not_taken
from benchlink.core.settings import Snapshot, moved
from benchlink.errors import BenchError, LinkError, MismatchError
from benchlink.workflows.agreement import get_agreement
from benchlink.workflows.backup import Kept, Stamp, keep
from benchlink.workflows.bring import bring
from benchlink.workflows.keeping import Proof, advice, keep_and_prove, lost_at_restart
from benchlink.workflows.planning import Prepared
from benchlink.workflows.put_back import after_power_cycle, put_back
from benchlink.workflows.read import read_once
from benchlink.workflows.session import Session, meet_again, require_at_rest


@dataclass(frozen=True, slots=True, kw_only=True)
class Applied:
    """What was done, and the proof."""

    plan: Plan
    kept: Kept | None
    """The backup taken before; None where nothing had to change."""
    after: Snapshot
    remarks: tuple[str, ...] = ()
    proof: Proof = Proof.RESTARTED
    """What shows that it outlives a restart."""

    @property
    def lost(self) -> tuple[str, ...]:
        """Names that were written, and that the restart took back by design."""
        settings = self.after.settings
        return tuple(
            change.name
            for change in self.plan.changes
            if change.never_kept
            and self.kept is not None
            and (
                change.name not in settings or settings[change.name].value != change.new
            )
        )


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
        NotTakenError: the board does not hold what it should; it was put back.
    """
    plan, snapshot = prepared.plan, prepared.snapshot
    person.show_plan(plan)
    if not plan.changes:
        return Applied(plan=plan, kept=None, after=snapshot)
    require_at_rest(prepared.session)
    for sentence in _persistence(prepared):
        person.tell(sentence)
    get_agreement(plan, person, agreed=agreed)
    if not agreed or plan.moving or plan.one_way:
        # Somebody was asked, so time has passed.
        _refuse_stale(prepared, person)
    prepared = replace(prepared, session=_still_at_rest(prepared.session))
    kept = keep(prepared.session, snapshot, records, stamp)
    person.tell(f"backed up to {kept.path}")
    remarks = _write_and_prove(prepared, person, kept)
    after, proof = keep_and_prove(prepared, person, kept)
    return Applied(plan=plan, kept=kept, after=after, remarks=remarks, proof=proof)


def _persistence(prepared: Prepared) -> list[str]:
    """What the person should know of when these values are kept."""
    at_once = [
        change.name
        for change in prepared.plan.changes
        if prepared.session.grammar.kept(change.name) is KeptWhen.AT_ONCE
    ]
    sentences: list[str] = []
    if at_once:
        sentences.append(
            f"This board keeps {_few(at_once)} as soon as they are written: no try, and"
            " each write wears its store."
        )
    lost = lost_at_restart(prepared)
    if lost:
        sentences.append(f"This board forgets {_few(lost)} at every restart.")
    return sentences


def _few(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{len(names)} of these values"


def _still_at_rest(session: Session) -> Session:
    """Ask again right before the first write: somebody may have armed it meanwhile."""
    session = meet_again(session)
    require_at_rest(session)
    return session


def _refuse_stale(prepared: Prepared, person: Person) -> None:
    now = read_once(prepared.session, person, "checking")
    strays = moved(prepared.snapshot, now)
    if strays:
        msg = "the board changed while the plan was being looked at"
        raise MismatchError(
            msg, details=strays, hint="Nothing was written. Make a new plan."
        )


def _write_and_prove(prepared: Prepared, person: Person, kept: Kept) -> tuple[str, ...]:
    try:
        brought = bring(prepared.session, person, prepared.goal, prepared.snapshot)
    except (BenchError, KeyboardInterrupt) as exc:
        _put_back_after(exc, prepared, person, kept)
        raise
    if brought.troubles:
        msg = "the board does not hold what was asked for"
        error = NotTakenError(
            msg,
            details=tuple(map(str, brought.troubles)),
            difference=not_taken(
                prepared.difference,
                refused={t.name: t.refusal for t in brought.troubles if t.refusal},
                untaken={t.name: t.text for t in brought.troubles},
            ),
        )
        error.hint = put_back(prepared, person, kept.path)
        raise error
    return tuple(map(str, brought.remarks))


def _put_back_after(
    exc: BenchError | KeyboardInterrupt,
    prepared: Prepared,
    person: Person,
    kept: Kept,
) -> None:
    if isinstance(exc, LinkError):
        exc.hint = f"{advice(exc)} {after_power_cycle(prepared)}".strip()
        return
    if isinstance(exc, KeyboardInterrupt):
        person.tell("interrupted; interrupting again leaves the values half written")
    outcome = put_back(prepared, person, kept.path)
    if isinstance(exc, BenchError):
        exc.hint = outcome
    else:
        person.tell(outcome)

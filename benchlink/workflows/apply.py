"""Changing a board: plan, agreement, backup, journal, and then the change itself."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchlink.console.description import Kept as KeptWhen
from benchlink.core.doors import Journals, Person, Records
from benchlink.core.may_move import MayMove
from benchlink.core.plan import Plan
from benchlink.core.settings import Snapshot
from benchlink.workflows.agreement import get_agreement
from benchlink.workflows.backup import Kept, Stamp, keep
from benchlink.workflows.carrying import Course, carry
from benchlink.workflows.clear_hands import asks_about_restart, still_at_rest
from benchlink.workflows.keeping import Proof
from benchlink.workflows.planning import Prepared
from benchlink.workflows.run import (
    Run,
    ends_in_restart,
    forgotten,
    transaction_of,
)
from benchlink.workflows.session import require_at_rest
from benchlink.workflows.sound_wire import require_sound_wire
from benchlink.workflows.stale import refuse_stale
from benchlink.workflows.trying import require_triable
from benchlink.workflows.unwritten import unwritten


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelves:
    """Where a change is written down."""

    records: Records
    journals: Journals


def apply(
    prepared: Prepared,
    person: Person,
    shelves: Shelves,
    stamp: Stamp,
    *,
    agreed: bool,
    course: Course | None = None,
) -> Applied:
    """Carry out a plan and prove it.

    `agreed` says that the person already agreed to the plan itself; never to motion.

    Raises:
        SafetyRefusalError: outputs are live, or nobody confirmed what may move.
        DeclinedError: the person said no.
        NotTakenError: the board does not hold what it should; it was put back.
        LinkError: it went away and did not return; the journal stays open.
    """
    plan, snapshot = prepared.plan, prepared.snapshot
    person.show_plan(plan)
    if not plan.changes:
        return Applied(plan=plan, kept=None, after=snapshot)
    require_at_rest(prepared.session)
    course = course or Course()
    if course.try_for:
        require_triable(prepared)
    for sentence in _persistence(prepared):
        person.tell(sentence)
    with unwritten():
        prepared = _agreed(prepared, person, agreed=agreed)
    require_sound_wire(prepared.session, snapshot)
    kept = keep(prepared.session, snapshot, shelves.records, stamp)
    person.tell(f"backed up to {kept.path}")
    transaction = transaction_of(
        prepared,
        what=prepared.intent.title,
        at=stamp.taken_at,
        console_hash=stamp.console_hash,
        backup=kept.path,
    )
    run = Run(
        session=prepared.session,
        person=person,
        journal=shelves.journals.open(transaction),
        transaction=transaction,
        before=snapshot,
        now=snapshot,
    )
    carried = carry(run, course, prepared.difference)
    return Applied(
        plan=plan,
        kept=kept,
        after=carried.after,
        remarks=tuple(map(str, carried.remarks)),
        proof=carried.proof,
    )


def _agreed(prepared: Prepared, person: Person, *, agreed: bool) -> Prepared:
    """The plan with all that has to be said yes to, at a board that is as it was."""
    plan, snapshot = prepared.plan, prepared.snapshot
    restart = _restart(prepared)
    hands = get_agreement(
        plan, person, agreed=agreed, session=prepared.session, moving=restart
    )
    if not agreed or hands or plan.one_way:
        # Somebody was asked, so time has passed.
        refuse_stale(prepared.session, snapshot, person)
    session = still_at_rest(prepared.session)
    session = replace(session, hands=hands or session.hands)
    return replace(prepared, session=session)


def _restart(prepared: Prepared) -> tuple[MayMove, ...]:
    """The restart at the end, where it is asked about together with the plan."""
    session, plan = prepared.session, prepared.plan
    if not ends_in_restart(session.grammar, (c.name for c in plan.changes)):
        return ()
    return asks_about_restart(session, beside=bool(plan.moving))


def _persistence(prepared: Prepared) -> list[str]:
    """What the person should know of when these values are kept."""
    grammar = prepared.session.grammar
    at_once = [
        change.name
        for change in prepared.plan.changes
        if grammar.kept(change.name) is KeptWhen.AT_ONCE
    ]
    sentences: list[str] = []
    if at_once:
        sentences.append(
            f"This board keeps {_few(at_once)} as soon as they are written: no try, and"
            " each write wears its store."
        )
    held = {s.name: s.value for s in prepared.snapshot.settings.values()}
    lost = forgotten(grammar, held, (c.name for c in prepared.plan.changes))
    if lost:
        sentences.append(f"This board forgets {_few(sorted(lost))} at every restart.")
    return sentences


def _few(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{len(names)} of these values"

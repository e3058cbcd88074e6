"""Temporary settings for work at the bench: written down, put back whatever happens.

Self-levelling off while a servo is centred is no change of the aircraft. The old value is
in a journal before the bench value is written; it comes back at the end, at an error, or
at the next start. While something is kept the old values stand in their place, so that
no bench value ever outlives the bench.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import Final, final

from benchlink.core.doors import Journals, Person
from benchlink.core.journal import Entry, Kind, Mark, Transaction
from benchlink.core.settings import Snapshot
from benchlink.core.values import Value
from benchlink.errors import BenchError, LinkError, MismatchError, UsageError
from benchlink.workflows.agreement import confirm_hands_clear
from benchlink.workflows.backup import Stamp
from benchlink.workflows.bring import Goal, bring
from benchlink.workflows.clear_hands import (
    look_at_the_pack,
    still_at_rest,
    what_may_move,
    with_hands_clear,
)
from benchlink.workflows.read import read_settled
from benchlink.workflows.run import Run
from benchlink.workflows.session import Session, require_at_rest
from benchlink.workflows.sound_wire import require_sound_wire

STILL: Final = (
    "The bench values may still be on the board. `benchlink undo` puts the old ones"
    " back."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What shall hold while something is done at the bench, and why."""

    values: Mapping[str, Value]
    why: str
    roams: frozenset[str] = frozenset()
    """Names that are written again and again meanwhile: whatever they hold is ours."""


@final
class BenchStates:
    """The bench values of one session, while they hold."""

    def __init__(self, run: Run, roams: frozenset[str]) -> None:
        self._run = run
        self._roams: Final = roams

    @contextmanager
    def lifted(self) -> Iterator[None]:
        """The old values stand while something is kept; then the bench values again.

        Raises:
            MismatchError: one of the two is not on the board.
        """
        self._run = _awake(self._run)
        _bring(self._run, self._goal_back(), "old values")
        yield
        self._run = _awake(self._run)
        _bring(self._run, self._run.goal(1), "bench values")

    def put_back(self) -> None:
        """End of the bench: every old value, proven; what somebody changed is left.

        Raises:
            MismatchError: an old value is not back; the journal stays open.
        """
        run = self._run = _awake(self._run)
        now = read_settled(run.session, run.person, "reading")
        strange = [
            entry.name
            for entry in run.transaction.planned
            if entry.name not in self._roams
            and (setting := now.settings.get(entry.name)) is not None
            and setting.value != entry.old
            and not entry.is_new(setting.value)
        ]
        if strange:
            msg = "somebody changed a bench setting meanwhile"
            raise MismatchError(
                msg,
                details=tuple(f"{n}: now {now.settings[n].value}" for n in strange),
                hint="It was left as it is. `benchlink undo` asks about it.",
            )
        run.journal.mark(Mark.UNDOING)
        _bring(run, self._goal_back(), "old values", now)
        run.journal.mark(Mark.UNDONE)

    def _goal_back(self) -> Goal:
        planned = self._run.transaction.planned
        return Goal(
            before=self._run.before,
            wanted={entry.name: entry.old for entry in planned},
            tolerances={},
        )


@contextmanager
def bench_states(
    session: Session, person: Person, journals: Journals, stamp: Stamp, asked: Asked
) -> Iterator[BenchStates]:
    """Set values for the time of a block of work, and put the old ones back after it.

    Raises:
        UsageError: there is no such setting.
        SafetyRefusalError: outputs are live, or nobody confirmed what may move.
        MismatchError: the board does not hold what was asked for, or would not go back.
    """
    require_at_rest(session)
    before = read_settled(session, person)
    transaction = _told(asked, before, stamp, session)
    _refuse_one_way(transaction, before, session)
    require_sound_wire(session, before)
    look_at_the_pack(session)
    moving = what_may_move(transaction.entries, session.grammar, before)
    if not all(session.covers(one.moves) for one in moving):
        hands = confirm_hands_clear(moving, person, session)
        session = replace(still_at_rest(session), hands=hands)
    run = Run(
        session=session,
        person=person,
        journal=journals.open(transaction),
        transaction=transaction,
        before=before,
        now=before,
    )
    states = BenchStates(run, asked.roams)
    try:
        run.journal.mark(Mark.WRITING)
        _bring(run, run.goal(1), "bench values", before)
        run.journal.mark(Mark.PROVEN)
        yield states
    except LinkError as exc:
        exc.hint = f"{exc.hint} {STILL}".strip()
        raise
    except BaseException:
        _put_back_quietly(states, person)
        raise
    try:
        states.put_back()
    except LinkError as exc:
        exc.hint = f"{exc.hint} {STILL}".strip()
        raise


def _awake(run: Run) -> Run:
    """The run before it writes again: outputs at rest, and hands clear in this epoch.

    Nobody looked at the pack while people worked: a motor is asked about each time.

    Raises:
        SafetyRefusalError: outputs are live, or nobody confirmed what may move.
    """
    run = replace(run, session=still_at_rest(run.session))
    run.session.props_word.void(run.session.hands)
    return with_hands_clear(run, so_far=STILL)


def _refuse_one_way(
    transaction: Transaction, before: Snapshot, session: Session
) -> None:
    details = tuple(
        f"{entry.name}: {why}"
        for entry in transaction.planned
        if (
            why := session.grammar.unwritable(
                before.settings[entry.name], entry.old, before
            )
        )
    )
    if details:
        msg = "the old value could not be put back on this console"
        raise UsageError(msg, details=details, hint="Nothing was written.")


def _put_back_quietly(states: BenchStates, person: Person) -> None:
    """Something else went wrong first: that is what the caller hears of."""
    try:
        states.put_back()
    except BenchError as exc:
        person.tell(f"{exc}. {STILL}")
    else:
        person.tell("the bench values are gone, the old ones are back")


def _told(
    asked: Asked, before: Snapshot, stamp: Stamp, session: Session
) -> Transaction:
    unknown = [name for name in asked.values if name not in before.settings]
    if unknown:
        msg = f"the board has no setting {unknown[0]!r}"
        raise UsageError(msg, hint="Nothing was written.")
    return Transaction(
        kind=Kind.BENCH,
        opened_at=stamp.taken_at,
        what=asked.why,
        identity=session.identity,
        console=session.grammar.description.name,
        console_hash=stamp.console_hash,
        port=session.board.port,
        backup="",
        entries={
            name: Entry(
                name=name, old=before.settings[name].value, new=value, planned=True
            )
            for name, value in asked.values.items()
        },
    )


def _bring(run: Run, goal: Goal, what: str, now: Snapshot | None = None) -> None:
    if now is None:
        now = read_settled(run.session, run.person, "reading")
    troubles = bring(run.session, run.person, goal, now).troubles
    if troubles:
        msg = f"the board does not hold the {what}"
        raise MismatchError(msg, details=tuple(map(str, troubles)))

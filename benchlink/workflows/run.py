"""One change on its way: the board, its journal, and what every stage shall reach."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from benchlink.console.description import Kept
from benchlink.console.grammar import Grammar
from benchlink.core.doors import Journal, Person
from benchlink.core.intent import NO_TOLERANCE
from benchlink.core.journal import Entry, Kind, Mark, Transaction
from benchlink.core.plan import Moves
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.values import Text, Unset, Value
from benchlink.errors import FileError
from benchlink.workflows.bring import Goal
from benchlink.workflows.planning import Prepared
from benchlink.workflows.session import Session


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A change between its first mark and its last."""

    session: Session
    person: Person
    journal: Journal
    transaction: Transaction
    before: Snapshot
    """Every setting as it was, with all that is needed to write it."""
    now: Snapshot | None = None
    """What the board holds, where it was read just now."""
    gone: frozenset[str] = frozenset()
    """Names of the journal that nobody wrote and that the board does not list now."""
    declined_in: int = 0
    """The epoch in which nobody confirmed clear hands; asked about once in each."""

    @property
    def hands_clear(self) -> bool:
        """Whether they were in this very epoch: what may move may be written."""
        return self.session.hands_clear

    def goal(self, stage: int) -> Goal:
        """What the board shall hold when this stage is through."""
        asked = [
            entry
            for entry in self.transaction.entries.values()
            if entry.new is not None and entry.stage <= stage
        ]
        later = {e.name for e in self.transaction.planned if e.stage > stage}
        return Goal(
            before=self.before,
            wanted={e.name: e.new for e in asked if e.new is not None},
            tolerances={e.name: e.within for e in asked},
            untouched=self._movers(but_planned=True),
            later=frozenset(later),
            gone=self.gone,
        )

    def goal_back(self) -> Goal:
        """Everything as it was: putting one value back may have moved another.

        Unless hands were confirmed to be clear, and for a motor the props off, what may
        move stays as it is: nobody has agreed to that motion. What was planned is written even
        where the old value shows: a write that was not answered may have been taken,
        and the board may show it late.
        """
        grammar, before = self.session.grammar, self.before
        return Goal(
            before=before,
            wanted={
                s.name: s.value
                for s in before.settings.values()
                if s.writable
                and not s.volatile
                and not grammar.unwritable(s, s.value, before)
            },
            tolerances={},
            untouched=self._movers(),
            gone=self.gone,
            surely=frozenset(entry.name for entry in self.transaction.planned),
        )

    @property
    def restarts(self) -> bool:
        """Whether a restart proves what was kept."""
        planned = (entry.name for entry in self.transaction.planned)
        return ends_in_restart(self.session.grammar, planned)

    @property
    def kept_at_once(self) -> bool:
        """Whether the board keeps some of what was written without being told to."""
        grammar = self.session.grammar
        return any(grammar.kept(name) is Kept.AT_ONCE for name in self._asked_names())

    @property
    def lost_at_restart(self) -> frozenset[str]:
        """Names that this board never keeps: written now, or holding something before."""
        entries = self.transaction.entries.values()
        planned = (entry.name for entry in self.transaction.planned)
        held = {entry.name: entry.old for entry in entries}
        return forgotten(self.session.grammar, held, planned)

    def _asked_names(self) -> tuple[str, ...]:
        entries = self.transaction.entries.values()
        return tuple(entry.name for entry in entries if entry.new is not None)

    def _movers(self, *, but_planned: bool = False) -> frozenset[str]:
        """Names whose writing may move what nobody agreed to, alone or with their row.

        `but_planned` agreement counts for what was planned only.
        """
        grammar, before = self.session.grammar, self.before
        planned = {e.name for e in self.transaction.planned}

        def is_agreed(name: str, moves: Moves) -> bool:
            if but_planned and name not in planned:
                return False
            return self.session.covers(moves)

        return frozenset(
            name
            for name, setting in before.settings.items()
            if (moves := grammar.moves_with(setting, before)) is not Moves.NOTHING
            and not is_agreed(name, moves)
        )


def mark_the_end(run: Run, mark: Mark) -> None:
    """Close the journal; the board is right, so a failure is only told."""
    try:
        run.journal.mark(mark)
    except FileError as error:
        run.person.tell(f"{error}: it will be asked about once more")


def ends_in_restart(grammar: Grammar, planned: Iterable[str]) -> bool:
    """Whether writing these is followed by a restart: a command, and what it proves."""
    return grammar.can("restart") and any(
        grammar.kept(name) is not Kept.NEVER for name in planned
    )


def forgotten(
    grammar: Grammar, held: Mapping[str, Value], planned: Iterable[str]
) -> frozenset[str]:
    """Names that the board never keeps: to be written, or holding something."""
    at_stake = {*planned, *(n for n, v in held.items() if v not in {Text(""), Unset()})}
    return frozenset(n for n in at_stake if grammar.kept(n) is Kept.NEVER)


def transaction_of(
    prepared: Prepared, *, what: str, at: datetime, console_hash: str, backup: str
) -> Transaction:
    """A plan as it goes into the journal: every setting of the board, old and new."""
    session, goal = prepared.session, prepared.goal
    stages = {change.name: change.stage for change in prepared.plan.changes}
    entries = {
        setting.name: Entry(
            name=setting.name,
            old=setting.value,
            new=goal.wanted.get(setting.name),
            stage=stages.get(setting.name, 1),
            within=goal.tolerances.get(setting.name, NO_TOLERANCE),
            planned=setting.name in stages,
        )
        for setting in prepared.snapshot.settings.values()
        if not setting.volatile
    }
    return Transaction(
        kind=Kind.CHANGE,
        opened_at=at,
        what=what,
        identity=session.identity,
        console=session.grammar.description.name,
        console_hash=console_hash,
        port=session.board.port,
        backup=backup,
        entries=entries,
    )


def as_before(transaction: Transaction, now: Snapshot) -> Snapshot:
    """The board as it was before the change, by the journal.

    What is needed to write a setting comes from the listing of now.
    """
    settings: dict[str, Setting] = {}
    if transaction.kind is Kind.BENCH:
        settings.update(now.settings)
    for name, entry in transaction.entries.items():
        known = now.settings.get(name)
        if known is None:
            settings[name] = Setting(name=name, value=entry.old, raw=str(entry.old))
        else:
            settings[name] = replace(known, value=entry.old)
    volatile: Mapping[str, Setting] = {
        name: s for name, s in now.settings.items() if s.volatile
    }
    return replace(now, settings={**settings, **volatile})

"""A plan that could be carried out: the board was read, nothing was written."""

from dataclasses import dataclass, replace
from typing import Final

from benchlink.core.difference import OFF, Difference, Finding, State
from benchlink.core.doors import Person
from benchlink.core.intent import Intent
from benchlink.core.plan import Change, Moves, Plan, plan_for
from benchlink.core.settings import Snapshot
from benchlink.core.values import Switch
from benchlink.errors import FileError, MismatchError, Place, Problem
from benchlink.workflows.bring import Goal
from benchlink.workflows.compare import Compared, compare_board
from benchlink.workflows.output_warnings import output_warnings
from benchlink.workflows.session import Session
from benchlink.workflows.unwritten import unwritten


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared:
    """A plan that could be carried out, with nothing sent yet but questions."""

    session: Session
    intent: Intent
    snapshot: Snapshot
    difference: Difference
    plan: Plan
    left_out: tuple[Finding, ...] = ()
    """What was asked for and cannot be brought about; never written."""

    @property
    def goal(self) -> Goal:
        """What every setting shall hold afterwards, written now or not."""
        return Goal(
            before=self.snapshot,
            wanted={
                f.name: f.wanted
                for f in self.difference.of(State.AS_INTENDED, *OFF)
                if f.wanted is not None
            },
            tolerances={n: w.tolerance for n, w in self.intent.wanted.items()},
            untouched=self.untouched,
        )

    @property
    def untouched(self) -> frozenset[str]:
        """Names that may move something and that the plan does not show."""
        planned = {change.name for change in self.plan.changes}
        grammar = self.session.grammar
        return frozenset(
            name
            for name, setting in self.snapshot.settings.items()
            if name not in planned
            and grammar.moves_with(setting, self.snapshot) is not Moves.NOTHING
        )


def prepare(
    session: Session, person: Person, intent: Intent, *, leave_out: bool = False
) -> Prepared:
    """Read the board and make the plan; refuse what cannot come out right.

    With `leave_out` the settings that cannot are left out of the plan instead, and told.

    Raises:
        WrongBoardError: the intent is for other boards.
        MismatchError: the board lacks a setting, or cannot hold a wanted value.
        FileError: a value cannot be written safely on this console.
        LinkError: the wire damages too much to be written over.
    """
    with unwritten():
        compared = compare_board(session, person, intent, to_write=True)
    if leave_out:
        told = _told_unwritable(session, compared)
        compared = replace(compared, difference=told)
    else:
        _refuse_impossible(compared.difference)
    plan = plan_for(compared.difference, compared.snapshot, session.identity)
    _refuse_unwritable(session, compared.snapshot, plan)
    changes = tuple(_judged(session, compared.snapshot, c) for c in plan.changes)
    plan = replace(plan, changes=_staged(session, changes))
    warnings = output_warnings(session.grammar.description, compared.snapshot, plan)
    plan = replace(plan, warnings=warnings)
    return Prepared(
        session=session,
        intent=intent,
        snapshot=compared.snapshot,
        difference=compared.difference,
        plan=plan,
        left_out=compared.difference.of(*HOPELESS),
    )


HOPELESS: Final = (State.MISSING, State.IMPOSSIBLE)
"""States that no writing can end."""


def _told_unwritable(session: Session, compared: Compared) -> Difference:
    """The findings, with what this console cannot be told as impossible."""

    def told(finding: Finding) -> Finding:
        if finding.state not in OFF or finding.wanted is None:
            return finding
        setting = compared.snapshot.settings[finding.name]
        why = session.grammar.unwritable(setting, finding.wanted, compared.snapshot)
        return replace(finding, state=State.IMPOSSIBLE, trouble=why) if why else finding

    return Difference(findings=tuple(map(told, compared.difference.findings)))


def _staged(session: Session, changes: tuple[Change, ...]) -> tuple[Change, ...]:
    """Split at a restart where something has to be kept and loaded before the rest.

    A switch that goes off goes with the rest, which depend on it: as long as the board
    has not restarted it is on for them.
    """
    first = [
        session.grammar.restart_first(change.name)
        and not (isinstance(change.new, Switch) and not change.new.on)
        for change in changes
    ]
    if not any(first) or all(first):
        return changes
    return tuple(
        replace(change, stage=1 if early else 2)
        for change, early in zip(changes, first, strict=True)
    )


def _judged(session: Session, snapshot: Snapshot, change: Change) -> Change:
    """Say what a change may move, and whether it could be put back."""
    setting = snapshot.settings[change.name]
    return replace(
        change,
        moves=session.grammar.moves_with(setting, snapshot),
        one_way=session.grammar.unwritable(setting, change.old, snapshot),
    )


def _refuse_impossible(difference: Difference) -> None:
    hopeless = difference.of(*HOPELESS)
    if not hopeless:
        return
    msg = f"{len(hopeless)} settings cannot be brought to what is wanted"
    if len(hopeless) == 1:
        msg = "one setting cannot be brought to what is wanted"
    raise MismatchError(
        msg,
        details=tuple(
            f"{f'{f.place}: ' if f.place else ''}{f.name}: {f.trouble}"
            for f in hopeless
        ),
        hint="Nothing was written. Mend the name or the value where it stands; a profile"
        " may also waive the setting with a reason.",
    )


def _refuse_unwritable(session: Session, snapshot: Snapshot, plan: Plan) -> None:
    problems = [
        Problem(change.place or Place("the command line", 0), f"{change.name}: {why}")
        for change in plan.changes
        if (
            why := session.grammar.unwritable(
                snapshot.settings[change.name], change.new, snapshot
            )
        )
    ]
    if problems:
        msg = "some values cannot be sent to this console safely"
        raise FileError(
            msg, hint="Nothing was sent but questions.", problems=tuple(problems)
        )

"""Putting every old value back after a failure, proving it, and saying so honestly."""

from typing import Final

from benchlink.console.description import Kept
from benchlink.core.doors import Person
from benchlink.errors import BenchError
from benchlink.workflows.bring import Goal, bring
from benchlink.workflows.planning import Prepared
from benchlink.workflows.read import read_settled

POWER_CYCLE: Final = "Nothing was kept: a power cycle brings the kept values back."
AT_ONCE: Final = (
    "This board keeps some of them as they are written: read it again before believing"
    " anything, and restore the backup."
)

AGAIN: Final = "Nothing was kept; every old value is back, read again and equal."
AGAIN_AT_ONCE: Final = (
    "This board keeps as it is written to; every old value is back, read again and"
    " equal."
)


def after_power_cycle(prepared: Prepared) -> str:
    """What a power cycle does now, before any keep."""
    return AT_ONCE if _kept_at_once(prepared) else POWER_CYCLE


def _kept_at_once(prepared: Prepared) -> bool:
    grammar = prepared.session.grammar
    return any(grammar.kept(c.name) is Kept.AT_ONCE for c in prepared.plan.changes)


def put_back(prepared: Prepared, person: Person) -> str:
    """Write the old values of all that changed; gives the sentence for the person."""
    person.tell("putting the old values back")
    try:
        now = read_settled(prepared.session, person, "reading")
        goal = _goal_before(prepared)
        troubles = bring(prepared.session, person, goal, now).troubles
    except BenchError as exc:
        return f"The old values could NOT be put back ({exc}). {after_power_cycle(prepared)}"
    if troubles:
        left = "; ".join(map(str, troubles))
        return f"Some old values could NOT be put back ({left}). {after_power_cycle(prepared)}"
    return AGAIN_AT_ONCE if _kept_at_once(prepared) else AGAIN


def _goal_before(prepared: Prepared) -> Goal:
    """All that can be written, for putting one value back may move another."""
    before, grammar = prepared.snapshot, prepared.session.grammar
    return Goal(
        before=before,
        wanted={
            s.name: s.value
            for s in before.settings.values()
            if s.writable and not s.volatile and not grammar.unwritable(s, s.value)
        },
        tolerances={},
    )

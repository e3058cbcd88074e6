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
    names = {c.name for c in prepared.plan.changes} | set(prepared.intent.wanted)
    return any(grammar.kept(name) is Kept.AT_ONCE for name in names)


def put_back(prepared: Prepared, person: Person, backup: str) -> str:
    """Write the old values of all that changed; gives the sentence for the person.

    `backup` is where the copy stands that was taken before anything was written.
    """
    moving = " (arms may jump: hands clear)" if prepared.plan.moving else ""
    person.tell(f"putting the old values back{moving}")
    try:
        now = read_settled(prepared.session, person, "reading")
        goal = _goal_before(prepared)
        troubles = bring(prepared.session, person, goal, now).troubles
    except BenchError as exc:
        return _not_back(
            f"The old values could NOT be put back ({exc}).", prepared, backup
        )
    except KeyboardInterrupt:
        person.tell(_not_back("The old values were NOT put back.", prepared, backup))
        raise
    if troubles:
        left = "; ".join(map(str, troubles))
        what = f"Some old values could NOT be put back ({left})."
        return _not_back(what, prepared, backup)
    return AGAIN_AT_ONCE if _kept_at_once(prepared) else AGAIN


def _not_back(what: str, prepared: Prepared, backup: str) -> str:
    return f"{what} {after_power_cycle(prepared)} What it held before is in {backup}."


def _goal_before(prepared: Prepared) -> Goal:
    """All that can be written, for putting one value back may change another.

    Unless hands were confirmed to be clear, what may move stays as it is: nobody has
    agreed to that motion.
    """
    before, grammar = prepared.snapshot, prepared.session.grammar
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
        untouched=frozenset() if prepared.plan.moving else prepared.untouched,
    )

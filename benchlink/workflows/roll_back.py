"""Putting every old value back, over all stages, proving it, and saying so honestly."""

from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Final

from benchlink.core.journal import Mark
from benchlink.core.may_move import spins
from benchlink.core.settings import Snapshot
from benchlink.core.utterance import require_done
from benchlink.errors import BenchError, FileError
from benchlink.workflows.bring import Brought, Goal, Trouble, bring
from benchlink.workflows.clear_hands import (
    asked_for_hands_clear,
    asked_for_leave_to_restart,
    planned_movers,
)
from benchlink.workflows.keeping import Proof, keep_and_read, not_kept, restarted
from benchlink.workflows.read import read_settled
from benchlink.workflows.run import Run, mark_the_end
from benchlink.workflows.say import say
from benchlink.workflows.session import meet_again, require_at_rest

POWER_CYCLE: Final = "Nothing was kept: a power cycle brings the kept values back."
AT_ONCE: Final = (
    "This board keeps some of them as they are written: believe nothing about it before"
    " it was read again."
)
MAYBE_KEPT: Final = "The board may have kept some of the new values."
LATER: Final = "`benchlink undo` puts the old values back, `benchlink resume` goes on."

AGAIN: Final = "Nothing was kept; every old value is back, read again and equal."
AGAIN_AT_ONCE: Final = (
    "This board keeps as it is written to; every old value is back, read again and"
    " equal."
)
AGAIN_KEPT: Final = "Every old value is back, {proof}."

RESTART_BY_HAND: Final = (
    "Nobody confirmed that hands are clear, so the board was not restarted. Power-cycle"
    " it, hands clear of the arms, then `benchlink undo`."
)

ARMS_MAY_JUMP: Final = " (arms may jump: hands clear)"
MOTOR_MAY_SPIN: Final = " (a motor may spin: props off, hands clear)"

NOTHING: Final[frozenset[str]] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Back:
    """Every old value is there again."""

    said: str
    """How it stands, for the person."""
    proven: bool = True
    """Whether it was shown that they outlive a restart."""


class NotBackError(BenchError):
    """The old values could not be put back, or nobody knows whether they are."""


def roll_back(run: Run) -> str:
    """Write the old values of all that changed; gives the sentence for the person.

    It may fail, be interrupted, and be run again: the journal stays open until every
    old value is proven to be back.
    """
    try:
        return undo(run).said
    except BenchError as exc:
        why = "; ".join(exc.details) or str(exc)
        said = f"The old values could NOT be put back ({why})."
        return _not_back(f"{said} {_own_hint(exc)}".strip(), run)
    except KeyboardInterrupt:
        run.person.tell(_not_back("The old values were NOT put back.", run))
        raise


def undo(run: Run) -> Back:
    """Put everything back and prove it.

    Raises:
        NotBackError: some old values are not back; the journal stays open.
        LinkError: the port went away or the board fell silent.
    """
    moving = ""
    if run.hands_clear:
        moving = MOTOR_MAY_SPIN if spins(planned_movers(run)) else ARMS_MAY_JUMP
    run.person.tell(f"putting the old values back{moving}")
    kept = run.journal.story.may_be_kept
    # A journal that cannot be written must not keep the old values away.
    with suppress(FileError):
        run.journal.mark(Mark.UNDOING)
    run = replace(run, session=meet_again(run.session))
    require_at_rest(run.session)
    run = asked_for_hands_clear(run, restart=kept and run.restarts)
    back = _back_over_restarts(run) if kept else _back(run)
    mark_the_end(run, Mark.UNDONE)
    return back


def after_power_cycle(run: Run) -> str:
    """What a power cycle does now."""
    if run.journal.story.may_be_kept:
        return MAYBE_KEPT
    return AT_ONCE if run.kept_at_once else POWER_CYCLE


def _back(run: Run) -> Back:
    """In memory only: nothing was kept."""
    now = read_settled(run.session, run.person, "reading")
    run = _asked_for_what_is_off(run, now)
    goal = run.goal_back()
    brought = bring(run.session, run.person, goal, now)
    troubles = brought.troubles
    if troubles and not _would_move(goal, brought):
        troubles = () if _dropped(run, goal) or _restarted(run, goal) else troubles
    _require_none(troubles)
    return Back(said=AGAIN_AT_ONCE if run.kept_at_once else AGAIN)


def _back_over_restarts(run: Run) -> Back:
    """Kept as well: what can be written back may depend on a restart in between."""
    proof = Proof.NO_RESTART
    wrong: tuple[str, ...] = ()
    now = read_settled(run.session, run.person, "reading")
    for turn in range(_turns(run)):
        if turn:
            # A restart lies between: whoever had the hands clear is asked anew.
            run = asked_for_hands_clear(run, restart=run.restarts)
        run = _asked_for_what_is_off(run, now)
        goal = run.goal_back()
        brought = bring(run.session, run.person, goal, now)
        troubles = brought.troubles
        if _strangers(run, brought) and run.session.grammar.can("restart"):
            run, troubles = _rid_of_strangers(run)
        run, now, proof = keep_and_read(run, 1, insisting=False)
        run.journal.mark(Mark.UNDOING)
        # Only a restart takes away what the board never keeps.
        lost = run.lost_at_restart if proof is Proof.RESTARTED else NOTHING
        wrong = not_kept(goal, now, lost)
        if proof is Proof.NO_LEAVE or not (troubles or wrong):
            break
    if wrong:
        left = proof is Proof.NO_LEAVE
        when = "without a restart" if left else "after the restart"
        msg = f"{when} the board does not hold the old values"
        raise NotBackError(msg, details=wrong, hint=RESTART_BY_HAND if left else "")
    lost = run.lost_at_restart if proof is Proof.RESTARTED else NOTHING
    but = f" But this board never keeps {', '.join(sorted(lost))}." if lost else ""
    said = AGAIN_KEPT.format(proof=proof.value) + but
    return Back(said=said, proven=proof.proven)


def _turns(run: Run) -> int:
    """How many restarts it may take until all that depends on one is back."""
    grammar = run.session.grammar
    early = any(grammar.restart_first(e.name) for e in run.transaction.planned)
    return max(run.transaction.stages, 2 if early else 1)


def _asked_for_what_is_off(run: Run, now: Snapshot) -> Run:
    """Hands clear for what may move and is off, though nobody planned to write it."""
    before = run.before.settings
    off = [
        name
        for name, setting in now.settings.items()
        if name in before and setting.value != before[name].value
    ]
    return asked_for_hands_clear(run, off)


def _would_move(goal: Goal, brought: Brought) -> bool:
    """Whether loading what was kept would move what nobody agreed to move."""
    now = brought.after.settings
    return any(
        name in now and name in goal.wanted and not goal.reached(name, now[name].value)
        for name in goal.untouched
    )


def _strangers(run: Run, brought: Brought) -> bool:
    """Whether the board lists what it did not list before."""
    return any(name not in run.before.settings for name in brought.after.settings)


def _rid_of_strangers(run: Run) -> tuple[Run, tuple[Trouble, ...]]:
    """The old values once more, after a restart that took away what nobody wrote.

    Names that a damaged line made up must not be kept with the rest.

    Raises:
        NotBackError: nobody gave leave to restart.
    """
    run, leave = asked_for_leave_to_restart(run)
    if leave is None:
        msg = "the board lists what it did not before, which only a restart ends"
        raise NotBackError(msg, hint=RESTART_BY_HAND)
    run, now, _ = restarted(run, leave)
    run = asked_for_hands_clear(run, restart=run.restarts)
    return run, bring(run.session, run.person, run.goal_back(), now).troubles


def _restarted(run: Run, goal: Goal) -> bool:
    """Make the board load what it kept by a restart, where it keeps only when told.

    Some consoles make a new setting of a damaged name, and no line takes it away again.
    """
    grammar = run.session.grammar
    if run.kept_at_once or not grammar.can("restart"):
        return False
    run, leave = asked_for_leave_to_restart(run)
    if leave is None:
        return False
    _, after, _ = restarted(run, leave)
    return not not_kept(goal, after, frozenset())


def _dropped(run: Run, goal: Goal) -> bool:
    """Make the board load what it kept, where it can and nobody has to agree."""
    grammar = run.session.grammar
    if not grammar.can("drop"):
        return False
    run.person.tell("making the board load what it kept")
    (reply,) = say(run.session.board, grammar, [grammar.utter("drop")])
    require_done(reply)
    after = read_settled(run.session, run.person, "reading back")
    return not not_kept(goal, after, frozenset())


def _require_none(troubles: tuple[Trouble, ...]) -> None:
    if troubles:
        msg = "some old values are not back"
        raise NotBackError(msg, details=tuple(map(str, troubles)))


def _own_hint(exc: BenchError) -> str:
    """What to do, where putting back itself says so."""
    return exc.hint if isinstance(exc, NotBackError) else ""


def _not_back(what: str, run: Run) -> str:
    backup = run.transaction.backup
    return (
        f"{what} {after_power_cycle(run)} What it held before is in {backup}. {LATER}"
    )

"""Putting every old value back, over all stages, proving it, and saying so honestly."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from typing import Final

from benchlink.core.journal import Mark
from benchlink.core.utterance import require_done
from benchlink.errors import BenchError, FileError
from benchlink.workflows.bring import Goal, Trouble, bring
from benchlink.workflows.keeping import Proof, keep_and_read, not_kept
from benchlink.workflows.read import read_settled
from benchlink.workflows.run import Run
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


class NotBackError(BenchError):
    """The old values could not be put back, or nobody knows whether they are."""


def roll_back(run: Run) -> str:
    """Write the old values of all that changed; gives the sentence for the person.

    It may fail, be interrupted, and be run again: the journal stays open until every
    old value is proven to be back.
    """
    try:
        return undo(run)
    except BenchError as exc:
        why = "; ".join(exc.details) or str(exc)
        return _not_back(f"The old values could NOT be put back ({why}).", run)
    except KeyboardInterrupt:
        run.person.tell(_not_back("The old values were NOT put back.", run))
        raise


def undo(run: Run) -> str:
    """Put everything back and prove it; gives the sentence that says so.

    Raises:
        NotBackError: some old values are not back; the journal stays open.
        LinkError: the port went away or the board fell silent.
    """
    moving = " (arms may jump: hands clear)" if run.cleared else ""
    run.person.tell(f"putting the old values back{moving}")
    kept = run.journal.story.may_be_kept
    # A journal that cannot be written must not keep the old values away.
    with suppress(FileError):
        run.journal.mark(Mark.UNDOING)
    run = replace(run, session=meet_again(run.session))
    require_at_rest(run.session)
    said = _back_over_restarts(run) if kept else _back(run)
    _told_if_failed(run, lambda: run.journal.mark(Mark.UNDONE))
    return said


def after_power_cycle(run: Run) -> str:
    """What a power cycle does now."""
    if run.journal.story.may_be_kept:
        return MAYBE_KEPT
    return AT_ONCE if run.kept_at_once else POWER_CYCLE


def _back(run: Run) -> str:
    """In memory only: nothing was kept."""
    goal = run.goal_back()
    now = read_settled(run.session, run.person, "reading")
    troubles = bring(run.session, run.person, goal, now).troubles
    if troubles and _dropped(run, goal):
        troubles = ()
    _require_none(troubles)
    return AGAIN_AT_ONCE if run.kept_at_once else AGAIN


def _back_over_restarts(run: Run) -> str:
    """Kept as well: what can be written back may depend on a restart in between."""
    goal, proof = run.goal_back(), Proof.NO_RESTART
    wrong: tuple[str, ...] = ()
    now = read_settled(run.session, run.person, "reading")
    for _ in range(run.transaction.stages):
        troubles = bring(run.session, run.person, goal, now).troubles
        run, now, proof = keep_and_read(run, 1, insisting=False)
        wrong = not_kept(goal, now, run.lost_at_restart)
        if not troubles and not wrong:
            break
    run.journal.mark(Mark.UNDOING)
    if wrong:
        msg = "after the restart the board does not hold the old values"
        raise NotBackError(msg, details=wrong)
    return AGAIN_KEPT.format(proof=proof.value)


def _dropped(run: Run, goal: Goal) -> bool:
    """Make the board load what it kept, where it can and nobody has to agree."""
    grammar = run.session.grammar
    if not grammar.can("drop") or (grammar.description.moving and not run.cleared):
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


def _not_back(what: str, run: Run) -> str:
    backup = run.transaction.backup
    return (
        f"{what} {after_power_cycle(run)} What it held before is in {backup}. {LATER}"
    )


def _told_if_failed(run: Run, mark: Callable[[], None]) -> None:
    """The board is right; a journal that cannot say so is only told."""
    try:
        mark()
    except FileError as error:
        run.person.tell(f"{error}: it will be asked about once more")

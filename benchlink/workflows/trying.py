"""New values on trial: in the board's memory, kept only on the person's word.

The confirmed commit of RFC 6241 section 8.4, at the bench: no word in time, another
word, an error or the end of the program puts the old values back and proves it.
"""

from typing import Final

from benchlink.console.description import Kept
from benchlink.core.exchange import Verdict
from benchlink.core.journal import Mark
from benchlink.core.may_move import spins
from benchlink.errors import LinkError, UsageError
from benchlink.units import Seconds
from benchlink.workflows.clear_hands import look_at_the_pack, planned_movers
from benchlink.workflows.planning import Prepared
from benchlink.workflows.run import Run
from benchlink.workflows.say import say

KEEP: Final = "keep"
"""What a person types to have the new values kept."""

ARMS_MAY_JUMP: Final = "ARMS MAY JUMP SOON, hands clear; "
MOTOR_MAY_SPIN: Final = "A MOTOR MAY SPIN SOON: props off, hands clear; "

WARN_BEFORE: Final = Seconds(10.0)
"""How long before things may move again the countdown says so."""


def require_triable(prepared: Prepared) -> None:
    """Refuse a trial that could not be ended by putting back from memory.

    Raises:
        UsageError: this board or this plan allows none.
    """
    grammar, changes = prepared.session.grammar, prepared.plan.changes
    if any(grammar.kept(change.name) is Kept.AT_ONCE for change in changes):
        msg = "this board keeps values as they are written: there is no trying them out"
        raise UsageError(msg, hint="Nothing was written. Leave `--try` out.")
    if prepared.plan.one_way:
        msg = (
            "the old value of some of these cannot be written back: no trying them out"
        )
        raise UsageError(
            msg,
            details=tuple(f"{c.name}: {c.one_way}" for c in prepared.plan.one_way),
            hint="Nothing was written. Leave `--try` out.",
        )
    if any(change.stage > 1 for change in changes):
        msg = "this change needs a restart in between: it cannot be tried out unkept"
        raise UsageError(msg, hint="Nothing was written. Leave `--try` out.")


def try_out(run: Run, within: Seconds) -> bool:
    """Whether the person wants the values kept.

    Raises:
        LinkError: the cable came out meanwhile.
    """
    run.journal.mark(Mark.TRYING, run.transaction.stages)
    run.person.tell(
        f"The new values hold now and are not kept. Type `{KEEP}` to keep them; after"
        f" {within / 60:.0f} min, or at any other word, the old ones are put back."
        " A power cycle brings the kept values back at once."
    )
    moving = planned_movers(run)
    what_moves = ARMS_MAY_JUMP if moving else ""
    if spins(moving):
        what_moves = MOTOR_MAY_SPIN

    def prompt(left: Seconds) -> str:
        warning = what_moves if left <= WARN_BEFORE else ""
        return f"{warning}unkept, {_clock(left)} left; `{KEEP}` or anything else: "

    return run.person.waits_for(KEEP, within, prompt, lambda: _still_there(run))


def _still_there(run: Run) -> None:
    """Ask the board something harmless, and look at the pack: the end needs both.

    Whoever takes the pack out meanwhile may put a prop on, so that a motor is asked about
    once more before an old value may spin it.

    Raises:
        LinkError: the port is gone, or the board fell silent.
    """
    grammar = run.session.grammar
    question = "readiness" if grammar.can("readiness") else "identify"
    if grammar.can(question):
        (reply,) = say(run.session.board, grammar, [grammar.utter(question)])
        if reply.verdict is Verdict.UNANSWERED:
            msg = f"the board at {run.session.board.port} does not answer"
            raise LinkError(msg)
    look_at_the_pack(run.session)


def _clock(left: Seconds) -> str:
    minutes, seconds = divmod(max(0, round(left)), 60)
    return f"{minutes}:{seconds:02d}"

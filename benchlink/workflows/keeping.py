"""Keep, restart, read again: what shows that values outlive a restart.

Consoles differ: some keep what is written at once, some never, some cannot restart by a
command. What cannot be proven here is said, never assumed.
"""

from dataclasses import replace
from enum import Enum
from typing import Final

from benchlink.console.description import Kept
from benchlink.core.exchange import Verdict
from benchlink.core.journal import Mark
from benchlink.core.restart_leave import RestartLeave
from benchlink.core.settings import Snapshot, moved
from benchlink.core.utterance import Reply, Utterance, require_done
from benchlink.errors import RefusedError
from benchlink.workflows.bring import Goal
from benchlink.workflows.clear_hands import (
    asked_for_leave_to_restart,
    require_leave,
    still_at_rest,
    with_leave_to_restart,
)
from benchlink.workflows.read import read_settled
from benchlink.workflows.run import Run
from benchlink.workflows.say import say
from benchlink.workflows.session import meet_again
from benchlink.workflows.waited import Waited

UNSEEN_RESTART: Final = (
    "nothing shows that the board restarted: power-cycle it and compare it again, to"
    " prove that it kept"
)
NO_COMMAND: Final = (
    "this console cannot restart the board: power-cycle it, then compare it again, to"
    " prove that it kept"
)
NO_LEAVE: Final = (
    "the board was not restarted, for nobody confirmed that hands are clear:"
    " power-cycle it, hands clear of the arms, then compare it again, to prove that it"
    " kept"
)


class Proof(Enum):
    """What shows that the new values outlive a restart."""

    RESTARTED = "kept, and equal after the restart"
    UNSEEN = "and equal, but nothing shows that the board restarted"
    NO_RESTART = "and equal, but not proven over a restart"
    NO_LEAVE = "and equal; nobody confirmed clear hands, so it was not restarted"
    EARLIER = "kept and restarted before it was interrupted, and equal now"
    FLEETING = "and equal; this board never keeps it, so it was not restarted"

    @property
    def proven(self) -> bool:
        """False where nobody knows whether a restart brings something else."""
        return self not in {Proof.UNSEEN, Proof.NO_RESTART, Proof.NO_LEAVE}


def keep_and_read(
    run: Run, stage: int, *, insisting: bool = True
) -> tuple[Run, Snapshot, Proof]:
    """Make the board keep, restart it, and read what it holds then.

    A refusal is the end of it only for who is `insisting`: while old values are put
    back, the board may hold them in its store already, and the restart shows that; and
    without leave to restart they are kept all the same, unproven.

    Where nothing was written that the board could keep, a restart would only undo it.

    Raises:
        RefusedError: the board would not keep.
        SafetyRefusalError: outputs are live, or nobody gave leave to restart.
    """
    grammar = run.session.grammar
    if all(grammar.kept(e.name) is Kept.NEVER for e in run.transaction.planned):
        after = read_settled(run.session, run.person, "reading again")
        return run, after, Proof.FLEETING
    can_restart, leave = grammar.can("restart"), None
    if can_restart and insisting:
        # Asked for before the keep: without it nothing new is kept.
        run, leave = with_leave_to_restart(run, so_far="Nothing more was written.")
    elif can_restart:
        run, leave = asked_for_leave_to_restart(run)
    run = replace(run, session=still_at_rest(run.session))
    if grammar.can("keep"):
        _keep(run, stage, insisting=insisting)
    if leave is None:
        run.person.tell(NO_LEAVE if can_restart else NO_COMMAND)
        after = read_settled(run.session, run.person, "reading again")
        return run, after, Proof.NO_LEAVE if can_restart else Proof.NO_RESTART
    run.journal.mark(Mark.RESTARTING, stage)
    return restarted(run, leave)


def not_kept(goal: Goal, after: Snapshot, lost: frozenset[str]) -> tuple[str, ...]:
    """What the board does not hold after the restart, in words; `lost` may go."""
    wrong = [
        f"{name}: kept {value}, after the restart {_shown(after, name)}"
        for name, value in goal.wanted.items()
        if name not in lost
        and not goal.may_be_gone(name, after)
        and (
            name not in after.settings
            or not goal.reached(name, after.settings[name].value)
        )
    ]
    wrong += [
        f"{name}: nobody asked for it, yet it changed"
        for name in moved(goal.before, after)
        if name not in goal.wanted
        and name not in lost
        and name not in goal.later
        and not goal.may_be_gone(name, after)
    ]
    return tuple(wrong)


def _keep(run: Run, stage: int, *, insisting: bool) -> None:
    run.person.tell("keeping")
    run.journal.mark(Mark.KEEPING, stage)
    session = run.session
    (reply,) = say(session.board, session.grammar, [session.grammar.utter("keep")])
    if reply.verdict in {Verdict.REFUSED, Verdict.AGAIN}:
        msg = f"the board refused to keep: {reply.remark}"
        if insisting:
            raise RefusedError(msg)
        run.person.tell(f"{msg}; the restart will show what it holds")
    if not reply.trusted:
        why = f" ({reply.remark})" if reply.remark else ""
        run.person.tell(
            f"the answer to the keep is missing{why}; reading again will show"
        )


def restarted(run: Run, leave: RestartLeave) -> tuple[Run, Snapshot, Proof]:
    """Restart the board and read what it holds then.

    Raises:
        RefusedError: the board would not restart.
        SafetyRefusalError: it started anew since leave was given.
    """
    session, grammar = run.session, run.session.grammar
    manner = grammar.description.manner
    if leave.epoch != session.board.epoch:
        leave = require_leave(session)
    run.person.tell(f"restarting the board; {leave.why}")
    *before, last = grammar.utter("restart").commands
    for command in before:
        (answer,) = session.board.ask([command])
        require_done(Reply(utterance=Utterance(commands=(command,)), answers=(answer,)))
    epoch = session.board.epoch
    waited = Waited(run.person, "restarting the board")
    try:
        answer = session.board.restart(last, manner.back_within, waited)
    finally:
        run.person.done()
    if answer.verdict is Verdict.REFUSED:
        require_done(Reply(utterance=Utterance(commands=(last,)), answers=(answer,)))
    seen = bool(manner.banner) and session.board.epoch > epoch
    proof = Proof.RESTARTED if answer.trusted and seen else Proof.UNSEEN
    if proof is Proof.UNSEEN:
        run.person.tell(UNSEEN_RESTART)
    run = replace(run, session=meet_again(session))
    after = read_settled(run.session, run.person, "reading after the restart")
    return run, after, proof


def _shown(snapshot: Snapshot, name: str) -> str:
    setting = snapshot.settings.get(name)
    return str(setting.value) if setting else "it is gone"

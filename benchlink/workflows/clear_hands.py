"""What is asked of the bench before something may move: hands clear, outputs at rest.

A confirmation counts in the epoch in which it was typed: after a restart or a
reconnection it is asked for again. The outputs are asked about right before each first
write, each keep and each restart, since somebody may have armed the board meanwhile.
"""

from collections.abc import Iterable
from dataclasses import replace

from benchlink.console.grammar import Grammar
from benchlink.core.plan import Moves
from benchlink.core.settings import Snapshot
from benchlink.errors import SafetyRefusalError
from benchlink.workflows.agreement import confirm_hands_clear
from benchlink.workflows.run import Run
from benchlink.workflows.session import Session, meet_again, require_at_rest


def still_at_rest(session: Session) -> Session:
    """The same board, asked again.

    Raises:
        SafetyRefusalError: its outputs are live now, or nobody knows.
        WrongBoardError: another board answers.
    """
    session = meet_again(session)
    require_at_rest(session)
    return session


def what_may_move(
    names: Iterable[str], grammar: Grammar, snapshot: Snapshot
) -> tuple[str, ...]:
    """What may move when these are written, in words; the rest of a row counts."""
    return tuple(
        f"{name}: may move a {moves.value}"
        for name in names
        if name in snapshot.settings
        and (moves := grammar.moves_with(snapshot.settings[name], snapshot))
        is not Moves.NOTHING
    )


def planned_movers(run: Run) -> tuple[str, ...]:
    """What may move when the change is written or put back, in words."""
    names = (entry.name for entry in run.transaction.planned)
    return what_may_move(names, run.session.grammar, run.before)


def with_hands_clear(run: Run, *, so_far: str, also: Iterable[str] = ()) -> Run:
    """The run with hands confirmed clear in this epoch, where that is needed.

    `also` are names beside the planned ones that will be written.

    Raises:
        SafetyRefusalError: nobody typed it.
    """
    more = what_may_move(also, run.session.grammar, run.before)
    moving = tuple(dict.fromkeys((*planned_movers(run), *more)))
    if run.hands_clear or not moving:
        return run
    confirm_hands_clear(moving, run.person, so_far=so_far)
    return replace(run, cleared_in=run.session.board.epoch)


def asked_for_hands_clear(run: Run, also: Iterable[str] = ()) -> Run:
    """The same while old values are put back: without the words the rest still is."""
    try:
        so_far = "What may move stays as it is."
        return with_hands_clear(run, so_far=so_far, also=also)
    except SafetyRefusalError as refusal:
        run.person.tell(f"{refusal}: what may move is left as it is")
        return run

"""What is asked of the bench before something may move: hands clear, outputs at rest.

A confirmation counts in the epoch in which it was typed: after a restart or a
reconnection it is asked for again, and for a motor with another pack. A restart is motion as well, unless the board tells
right before that it has nothing to move with. The outputs are asked about right before each first
write, each keep and each restart, since somebody may have armed the board meanwhile.
"""

from collections.abc import Iterable
from dataclasses import replace

from benchlink.console.grammar import Grammar
from benchlink.core.may_move import MayMove, by_setting
from benchlink.core.plan import Moves
from benchlink.core.readings import Quantity
from benchlink.core.restart_leave import (
    RESTART_MOVES,
    RestartLeave,
    leave_by_hands,
    leave_by_meters,
)
from benchlink.core.settings import Snapshot
from benchlink.errors import SafetyRefusalError
from benchlink.workflows.agreement import confirm_hands_clear
from benchlink.workflows.readings import highest
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
) -> tuple[MayMove, ...]:
    """What may move when these are written; the rest of a row counts."""
    return tuple(
        by_setting(name, moves)
        for name in names
        if name in snapshot.settings
        and (moves := grammar.moves_with(snapshot.settings[name], snapshot))
        is not Moves.NOTHING
    )


def planned_movers(run: Run) -> tuple[MayMove, ...]:
    """What may move when the change is written or put back."""
    names = (entry.name for entry in run.transaction.planned)
    return what_may_move(names, run.session.grammar, run.before)


def look_at_the_pack(session: Session) -> None:
    """See whether 'props off' still counts; nothing is asked where nobody typed it.

    Raises:
        LinkError: the port went away or the board fell silent for good.
    """
    if session.hands is not None and session.covers(Moves.MOTOR):
        (volts,) = highest(session, Quantity.PACK_VOLTS)
        session.props_word.saw(session.hands, volts)


def leave_of(session: Session, moves: Moves = Moves.SERVO) -> RestartLeave | None:
    """Leave to restart, by words typed in this epoch or by volts read right now.

    `moves` is what may move then.

    Raises:
        LinkError: the port went away or the board fell silent for good.
    """
    epoch = session.board.epoch
    if moves is Moves.MOTOR:
        look_at_the_pack(session)
    typed = leave_by_hands(session.hands, epoch)
    if typed is not None and session.covers(moves):
        return typed
    pack, rail = highest(session, Quantity.PACK_VOLTS, Quantity.RAIL_VOLTS)
    return leave_by_meters(pack, rail, epoch)


def require_leave(session: Session, moves: Moves = Moves.SERVO) -> RestartLeave:
    """Leave to restart.

    Raises:
        SafetyRefusalError: there is none: the board started anew, or got power.
    """
    leave = leave_of(session, moves)
    if leave is None:
        msg = "arms may jump now, and nobody confirmed that hands are clear since"
        if moves is Moves.MOTOR:
            msg = f"a motor may spin and {msg}, and the props off"
        raise SafetyRefusalError(
            msg, hint="The board started anew, or its pack or servo rail got power."
        )
    return leave


def asks_about_restart(session: Session, *, beside: bool) -> tuple[MayMove, ...]:
    """The restart as something that may move, where it has to be asked about.

    `beside` other things that may move it is always named; the meters spare the
    question only where it would stand alone.
    """
    if not beside and leave_of(session) is not None:
        return ()
    return (RESTART_MOVES,)


def with_hands_clear(
    run: Run, *, so_far: str, also: Iterable[str] = (), restart: bool = False
) -> Run:
    """The run with hands confirmed clear in this epoch, where that is needed.

    `also` are names beside the planned ones that will be written; `restart` says that
    the board will be started anew as well.

    Raises:
        SafetyRefusalError: nobody typed it.
    """
    look_at_the_pack(run.session)
    more = what_may_move(also, run.session.grammar, run.before)
    moving = (*planned_movers(run), *more)
    if run.hands_clear and all(run.session.covers(one.moves) for one in moving):
        return run
    if restart:
        moving = (*moving, *asks_about_restart(run.session, beside=bool(moving)))
    return _confirmed(run, moving, so_far) if moving else run


def with_leave_to_restart(run: Run, *, so_far: str) -> tuple[Run, RestartLeave]:
    """The run, and leave to restart its board now.

    Raises:
        SafetyRefusalError: nobody typed that hands are clear, and something may move.
    """
    leave = leave_of(run.session)
    if leave is None:
        run = _confirmed(run, (*planned_movers(run), RESTART_MOVES), so_far)
        leave = require_leave(run.session)
    return run, leave


def asked_for_hands_clear(
    run: Run, also: Iterable[str] = (), *, restart: bool = False
) -> Run:
    """The same while old values are put back: without the words the rest still is."""
    if run.declined_in == run.session.board.epoch:
        return run
    try:
        so_far = "What may move stays as it is."
        return with_hands_clear(run, so_far=so_far, also=also, restart=restart)
    except SafetyRefusalError as refusal:
        return _declined(run, refusal)


def asked_for_leave_to_restart(run: Run) -> tuple[Run, RestartLeave | None]:
    """The same for a restart: None where nobody gave leave."""
    if run.declined_in == run.session.board.epoch:
        return run, leave_of(run.session)
    try:
        return with_leave_to_restart(run, so_far="The board was not restarted.")
    except SafetyRefusalError as refusal:
        return _declined(run, refusal), None


def _confirmed(run: Run, moving: tuple[MayMove, ...], so_far: str) -> Run:
    session = run.session
    names = tuple(dict.fromkeys(moving))
    hands = confirm_hands_clear(names, run.person, session, so_far=so_far)
    return replace(run, session=replace(session, hands=hands))


def _declined(run: Run, refusal: SafetyRefusalError) -> Run:
    run.person.tell(f"{refusal}: what may move is left as it is")
    # Words typed earlier in this epoch count no more either: somebody just said no.
    session = replace(run.session, hands=None)
    return replace(run, session=session, declined_in=session.board.epoch)

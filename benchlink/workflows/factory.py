"""A copy of a fresh board: on the person's word, or after the board started over."""

from dataclasses import replace
from typing import Final

from benchlink.core.doors import Person, Records
from benchlink.core.may_move import MayMove
from benchlink.core.plan import Moves
from benchlink.core.settings import moved
from benchlink.core.slips import to_the_letter
from benchlink.core.utterance import require_done
from benchlink.errors import BenchError, DeclinedError, SafetyRefusalError
from benchlink.workflows.agreement import confirm_hands_clear
from benchlink.workflows.backup import Kept, Stamp, back_up, keep
from benchlink.workflows.clear_hands import (
    leave_of,
    require_leave,
    still_at_rest,
)
from benchlink.workflows.read import read_settled
from benchlink.workflows.say import say
from benchlink.workflows.session import Session, require_at_rest

STARTING_OVER: Final = MayMove(
    "starting over: servos may jump, and outputs change", Moves.MOTOR
)

THROW_AWAY: Final = "throw away"
"""What a person types before a board is told to start over."""


def keep_fresh(
    session: Session, person: Person, shelf: Records, stamp: Stamp, *, agreed: bool
) -> Kept:
    """Keep what a board holds as what its type holds when it is fresh; writes nothing.

    Raises:
        DeclinedError: nobody said that it is fresh.
        FileError: another copy is there, or it could not be written.
    """
    question = "Is this board fresh: has nobody set anything on it since it was made?"
    if not agreed and not person.agrees(question):
        msg = "nobody said that this board is fresh"
        raise DeclinedError(
            msg, hint="Nothing was kept. `--reset` makes it start over first."
        )
    return back_up(session, person, shelf, stamp)


def start_over(
    session: Session, person: Person, records: Records, shelf: Records, stamp: Stamp
) -> Kept:
    """Keep an ordinary backup, make the board start over, and keep what it holds then.

    Raises:
        UsageError: the console has no verb for it.
        SafetyRefusalError: outputs are live, or nobody typed the confirmations.
        FileError: one of the two copies could not be kept.
    """
    utterance = session.grammar.utter("factory")
    require_at_rest(session)
    _get_word(session, person)
    session = _cleared(session, person)
    before = read_settled(session, person, "reading")
    kept = keep(session, before, records, stamp)
    person.tell(f"backed up to {kept.path}")
    way_back = f"`benchlink restore {kept.path}` brings back what the board held."
    session = still_at_rest(session)
    person.tell(f"starting over; {require_leave(session, Moves.MOTOR).why}")
    try:
        (reply,) = say(session.board, session.grammar, [utterance])
        require_done(reply)
        after = read_settled(session, person, "reading")
        fresh = keep(session, after, shelf, stamp)
    except BenchError as exc:
        exc.hint = f"{exc.hint} {way_back}".strip()
        raise
    count = len(moved(before, after))
    values = "value" if count == 1 else "values"
    person.tell(f"{count} {values} changed as the board started over. {way_back}")
    return fresh


def _get_word(session: Session, person: Person) -> None:
    person.tell(f"This throws away everything that was set on {session.identity}.")
    prompt = f"Type '{THROW_AWAY}' to go on: "
    if to_the_letter(person.types, prompt, THROW_AWAY) != THROW_AWAY:
        msg = "nobody confirmed that the board's values may be thrown away"
        raise SafetyRefusalError(
            msg,
            hint="Nothing was written. Only what somebody types confirms this, no flag.",
        )


def _cleared(session: Session, person: Person) -> Session:
    """Hands clear and props off, unless the board tells that it has nothing to move with."""
    if leave_of(session, Moves.MOTOR) is not None:
        return session
    moves = (STARTING_OVER,)
    hands = confirm_hands_clear(moves, person, session)
    return replace(session, hands=hands)

"""A board that has been met: known by name, and known to be at rest or not."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field, replace
from typing import Final, TypeVar

from benchlink.console.grammar import Grammar
from benchlink.core.confirmation import HandsClear
from benchlink.core.doors import Board
from benchlink.core.identity import Identity, Readiness
from benchlink.core.intent import matches_any
from benchlink.core.plan import Moves
from benchlink.core.utterance import Reply, require_done
from benchlink.errors import (
    BoardError,
    RefusedError,
    SafetyRefusalError,
    WrongBoardError,
)
from benchlink.workflows.listings import Listings
from benchlink.workflows.props_word import PropsWord
from benchlink.workflows.say import say

Told = TypeVar("Told")

MIDDLE: Final = (
    "It may still stand in the middle of something that was being written when a cable"
    " or a program went away: switch it off and on, then start again."
)
"""What to do about a board that refuses to say who it is."""

QUESTION_TRIES: Final = 4
"""How often a question that changes nothing is asked before its answer is missed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """One board in one epoch, before anything is written to it."""

    board: Board
    grammar: Grammar
    identity: Identity
    readiness: Readiness | None
    """None where the console cannot tell."""
    epoch: int
    hands: HandsClear | None = None
    """What was confirmed about hands, in whatever epoch."""
    listings: Listings = field(default_factory=Listings, compare=False, repr=False)
    """Of this connection, over all its epochs."""
    props_word: PropsWord = field(default_factory=PropsWord, compare=False, repr=False)
    """The same, of what was typed of props."""

    @property
    def hands_clear(self) -> bool:
        """Whether hands were confirmed clear since the board last started."""
        return self.hands is not None and self.hands.epoch == self.board.epoch

    def covers(self, moves: Moves) -> bool:
        """Whether what was typed since then lets this be moved by a setting."""
        if moves is Moves.MOTOR:
            return self.hands_clear and self.props_word.counts(self.hands)
        return moves is Moves.NOTHING or self.hands_clear


def meet(board: Board, grammar: Grammar) -> Session:
    """Ask a freshly opened board who it is and whether its outputs are live.

    Raises:
        WrongBoardError: the description is for another type of board.
        BoardError: it does not answer as its description says.
    """
    questions = [verb for verb in ("identify", "readiness") if grammar.can(verb)]
    identity = Identity()
    if "identify" in questions:
        identity = _sure_identity(board, grammar)
    _check_type(grammar, identity)
    readiness = None
    if "readiness" in questions:
        readiness = _understood(board, grammar, "readiness", grammar.readiness)
    return Session(
        board=board,
        grammar=grammar,
        identity=identity,
        readiness=readiness,
        epoch=board.epoch,
    )


def _sure_identity(board: Board, grammar: Grammar) -> Identity:
    """Who the board is, said alike twice: a flipped digit would name another board.

    Raises:
        BoardError: it says something else each time.
    """
    said: list[Identity] = []
    for _ in range(QUESTION_TRIES):
        identity = _understood(board, grammar, "identify", grammar.identity)
        if identity in said:
            return identity
        said.append(identity)
    msg = "the board names itself otherwise each time"
    raise BoardError(
        msg,
        details=tuple(map(str, said)),
        hint="Only questions were sent. Check the cable and the speed.",
    )


def _understood(
    board: Board, grammar: Grammar, question: str, read: Callable[[Reply], Told]
) -> Told:
    """What the answer tells; one that cannot be read may only have been damaged.

    Raises:
        BoardError: it cannot be read however often it is asked for.
    """
    for _ in range(QUESTION_TRIES - 1):
        reply = _answered(board, grammar, question)
        with suppress(BoardError):
            return read(reply)
    return read(_answered(board, grammar, question))


def _answered(board: Board, grammar: Grammar, question: str) -> Reply:
    try:
        return require_done(_asked(board, grammar, question))
    except RefusedError as exc:
        exc.hint = MIDDLE
        raise


def _asked(board: Board, grammar: Grammar, question: str) -> Reply:
    """The reply to a harmless question, asked again where the wire damaged it."""
    for _ in range(QUESTION_TRIES - 1):
        (reply,) = say(board, grammar, [grammar.utter(question)])
        if reply.trusted:
            return reply
    (reply,) = say(board, grammar, [grammar.utter(question)])
    return reply


def ask_readiness(session: Session) -> Session:
    """The session with what the board says now of its outputs.

    Raises:
        BoardError: it cannot be understood.
    """
    grammar = session.grammar
    if not grammar.can("readiness"):
        return session
    told = _understood(session.board, grammar, "readiness", grammar.readiness)
    return replace(session, readiness=told)


def meet_again(session: Session) -> Session:
    """Ask again after a restart.

    Raises:
        WrongBoardError: another board answers now.
    """
    again = meet(session.board, session.grammar)
    if not again.identity.same_board(session.identity):
        msg = f"this was {session.identity}; now {again.identity} answers"
        raise WrongBoardError(
            msg,
            hint="Only questions were sent to it. Plug the first board in and start again.",
        )
    return replace(
        again,
        hands=session.hands,
        listings=session.listings,
        props_word=session.props_word,
    )


def require_at_rest(session: Session) -> None:
    """Refuse to write to a board whose outputs are live, or may be.

    Raises:
        SafetyRefusalError: always, unless the board said that they rest.
    """
    if session.readiness is not None and not session.readiness.armed:
        return
    if session.readiness is None:
        msg = "this console cannot say whether the outputs are live"
    else:
        msg = f"the outputs of {session.identity} are LIVE"
    raise SafetyRefusalError(
        msg,
        hint="Nothing was written. Pull the pack, from behind the disc; take the props"
        " off; bring the outputs to rest; then start again.",
    )


def _check_type(grammar: Grammar, identity: Identity) -> None:
    types = grammar.description.board_types
    if types and not matches_any(types, identity.board_type):
        wanted = " or ".join(types)
        msg = (
            f"the console {grammar.description.name!r} is for {wanted},"
            f" but the board is {identity}"
        )
        raise WrongBoardError(
            msg, hint="Only questions were sent. Pick the description of this board."
        )

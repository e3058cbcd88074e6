"""Live settings against a profile or an earlier copy; changes nothing."""

from dataclasses import dataclass

from benchlink.core.difference import Difference, compare
from benchlink.core.doors import Person
from benchlink.core.identity import Identity
from benchlink.core.intent import Intent
from benchlink.core.settings import Snapshot
from benchlink.errors import WrongBoardError
from benchlink.workflows.read import read_settled
from benchlink.workflows.session import Session


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """The board as it was read, and how it stands to what is wanted."""

    snapshot: Snapshot
    difference: Difference


def require_fit(session: Session, intent: Intent) -> None:
    """Refuse a profile that was made for other boards.

    Raises:
        WrongBoardError: with both identities.
    """
    msg = misfit(intent, session.identity)
    if msg:
        raise WrongBoardError(
            msg, hint=f"Nothing was written. See `fits:` in {intent.source}."
        )


def misfit(intent: Intent, board: Identity) -> str:
    """Why a profile is not for this board; empty where it is."""
    if intent.fits.accepts(board):
        return ""
    return f"{intent.title!r} is made for {intent.fits}, but the board is {board}"


def compare_board(
    session: Session, person: Person, intent: Intent, *, to_write: bool = False
) -> Compared:
    """Read the board and hold it against the intent.

    Raises:
        WrongBoardError: the intent is for other boards.
        BoardError: the readings do not agree.
        LinkError: it is read `to_write` later, and the wire damages too much for that.
    """
    require_fit(session, intent)
    snapshot = read_settled(session, person, to_write=to_write)
    return Compared(snapshot=snapshot, difference=compare(snapshot, intent))

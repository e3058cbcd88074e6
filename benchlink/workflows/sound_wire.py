"""Whether a wire is good enough to write over, by what it did to this connection."""

from typing import Final

from benchlink.core.settings import Snapshot
from benchlink.errors import LinkError
from benchlink.workflows.session import Session

MOST_DAMAGE: Final = 0.1
"""Share of damaged settings or answers above which nothing is written. At 35 bytes a
line that is about one damaged byte in 350."""

ENOUGH_ANSWERS: Final = 20
"""Answers before their share says anything."""


def require_sound_wire(session: Session, snapshot: Snapshot) -> None:
    """Refuse to write over a wire that damages too much.

    Raises:
        LinkError: says how much was damaged.
    """
    _require(session, max(snapshot.damage, damaged_share(session)))


def require_sound_answers(session: Session) -> None:
    """The same before a reading is through: a bad wire makes one take minutes.

    Raises:
        LinkError: says how much was damaged.
    """
    _require(session, damaged_share(session))


def damaged_share(session: Session) -> float:
    """Of the answers on this connection; 0 while they are too few to say anything."""
    health = session.board.health()
    return health.damaged / health.answers if health.answers >= ENOUGH_ANSWERS else 0.0


def _require(session: Session, share: float) -> None:
    if share <= MOST_DAMAGE:
        return
    msg = (
        f"the wire to {session.board.port} damaged {share:.0%} of what it carried; above"
        f" {MOST_DAMAGE:.0%} nothing is written"
    )
    raise LinkError(
        msg,
        hint="Nothing was written. Try another cable, a lower speed, or a common ground.",
    )

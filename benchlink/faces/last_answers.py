"""What was answered last at one board, so that the next step there can offer it.

In memory alone, for as long as the board is open: no file and no flag ever fills it, and
whatever it offers is taken only by a key of whoever sits there. Another board, or one
that does not say which one it is and was away since, has no answers yet.
"""

from dataclasses import dataclass, field
from typing import final

from benchlink.core.roles import OwnSide
from benchlink.workflows.session import Session


@dataclass(slots=True, kw_only=True)
class Answers:
    """As they were typed; empty where nobody was asked yet."""

    tail: str = ""
    operator: str = ""
    servos: dict[OwnSide, str] = field(default_factory=dict)
    """The servo of a side, by the name of its make."""


@final
class LastAnswers:
    """The answers of one board at a time; used on the thread that works."""

    def __init__(self) -> None:
        self._given_at: Session | None = None
        self._answers = Answers()

    def of(self, session: Session) -> Answers:
        """Those given at this board, to be read and replaced; new ones at another."""
        given_at = self._given_at
        if given_at is None or not _same_board(given_at, session):
            self._answers = Answers()
        self._given_at = session
        return self._answers


def _same_board(then: Session, now: Session) -> bool:
    """Surely the same one; a board without a number only while it never went away."""
    if then.identity.surely_same(now.identity):
        return True
    return then.identity == now.identity and then.epoch == now.epoch

"""The wait for a board that went away: on the work thread, ended from the event loop."""

import threading
from typing import TYPE_CHECKING, Final, final

from benchlink.core.identity import Grade
from benchlink.errors import BoardError, DeclinedError, LinkError
from benchlink.units import Seconds
from benchlink.workflows.returning import come_back

if TYPE_CHECKING:
    from benchlink.core.doors import Person
    from benchlink.faces.wiring import Bench
    from benchlink.workflows.session import Session

AT_A_TIME: Final = Seconds(60.0)
"""Then it begins anew: whoever stands in its place is named once more."""
WAITS: Final = (
    "Waiting for the same board, at whatever port: plug it in again. r tries at once,"
    " p leads to the list of ports; all below is from before."
)
NAMELESS: Final = (
    "This board does not say which one it is: whether it is the same when it is back is"
    " for you to say. p, then open its port; all below is from before."
)
PLAYED: Final = "p leads to the list of ports; all below is from before."


class AtOnceError(Exception):
    """Whoever waits wants it tried now."""


@final
class ReturnWait:
    """One wait; until it is ended or the board is back."""

    def __init__(self, session: "Session", person: "Person") -> None:
        self._session: Final = session
        self._person: Final = person
        self._over: Final = threading.Event()
        self._at_once: Final = threading.Event()

    def until_back(self) -> str:
        """The port where the same board is now; blocks.

        Raises:
            DeclinedError: nobody waits any more.
        """
        while True:
            try:
                back = come_back(self._session, self._person, AT_A_TIME, self._heed)
            except (AtOnceError, LinkError, BoardError):
                self._at_once.clear()
            else:
                return back.board.port

    def hurry(self) -> None:
        """Try at once, whatever is waited for just now."""
        self._at_once.set()

    def end(self) -> None:
        """Nobody waits any more."""
        self._over.set()

    def _heed(self, _left: Seconds) -> None:
        if self._over.is_set():
            msg = "nobody waits for the board any more"
            raise DeclinedError(msg)
        if self._at_once.is_set():
            raise AtOnceError


def hint_for(bench: "Bench") -> str:
    """What a person can do about a board that is gone."""
    if bench.recorded is not None:
        return PLAYED
    return WAITS if bench.session.identity.grade is Grade.UNIQUE else NAMELESS

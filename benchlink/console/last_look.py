"""The last look at a line before it leaves: nothing that moves goes without a permit.

It judges the final bytes, whatever was meant by them. A live line needs a permit for
these very bytes, in this epoch and at this time. A setting that may move something
needs hands confirmed clear in this epoch. Only a stop passes unlooked at.
"""

from collections.abc import Callable
from typing import Final, Protocol, final

from benchlink.console.lanes import Lane, Pending
from benchlink.core.hazard import (
    NOT_KNOWN,
    Hazard,
    Hazards,
    Typed,
    hazard_words,
)
from benchlink.units import Seconds

MOTION: Final[Hazards] = frozenset({Hazard.SERVO, Hazard.MOTOR})


class Classify(Protocol):
    """What bytes may do, by a description."""

    def __call__(self, data: bytes, typed: Typed, /) -> Hazards:
        """All that they may do; nothing where they are known to do nothing."""
        ...


Epoch = Callable[[], int]
"""The epoch of the connection now; rises at every restart and reconnection."""


def unknown(_data: bytes, _typed: Typed) -> Hazards:
    """Nobody described the console."""
    return NOT_KNOWN


def first_epoch() -> int:
    """A connection that is not told of epochs has one."""
    return 1


@final
class LastLook:
    """What stands between the lanes and the wire."""

    def __init__(
        self, classify: Classify = unknown, epoch: Epoch = first_epoch
    ) -> None:
        self._classify: Final = classify
        self._epoch: Final = epoch
        self._last: str | None = None

    def against(self, pending: Pending, now: Seconds) -> str:
        """Why a line must not leave; empty where it may."""
        if pending.lane is Lane.STOP:
            return ""
        command = pending.command
        typed = Typed(last=self._last, aim=command.aim)
        said = self._classify(pending.data, typed)
        moves = (said | command.hazards) & MOTION
        if command.permit is not None:
            return self._against_permit(pending, said, now)
        if pending.lane is Lane.LIVE:
            return f"it {hazard_words(said)}, without a permit" if said else ""
        if moves and not self._hands_clear(pending, moves):
            also = " and props off" if Hazard.MOTOR in moves else ""
            return f"it {hazard_words(moves)}, and hands were not confirmed clear{also}"
        return ""

    def left(self, pending: Pending) -> None:
        """A line is on its way: some consoles can be told to do it again."""
        if not pending.command.key:
            self._last = pending.command.line

    def started(self) -> None:
        """The board starts afresh and remembers no line."""
        self._last = None

    def _against_permit(self, pending: Pending, said: Hazards, now: Seconds) -> str:
        permit = pending.command.permit
        more = said - MOTION
        if more:
            return f"it {hazard_words(more)}"
        if permit is None or not permit.covers(pending.data, self._epoch(), now):
            return "its permit is for another line, another start or an earlier time"
        return ""

    def _hands_clear(self, pending: Pending, moves: Hazards) -> bool:
        """Whether all the motion is that of settings, and hands were clear for it."""
        command = pending.command
        if command.hands is None or command.hands.epoch != self._epoch():
            return False
        if Hazard.MOTOR in moves and not command.hands.props_off:
            return False
        return moves <= command.hazards

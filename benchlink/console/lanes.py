"""Who may send next: four lanes in front of one wire.

stop    leaves at once, in every phase, past window and barriers
live    one slot an output, the newest line wins, one in flight
watch   at most one waiting and one in flight; a newer one replaces it
bulk    in order, through the window; rests while live lines wait
"""

from collections import deque
from dataclasses import dataclass
from enum import Enum
from typing import Final, final

from benchlink.console.window import Window
from benchlink.core.exchange import Command
from benchlink.units import Seconds

NOT_YET: Final = Seconds(0.0)


class Lane(Enum):
    """The four lanes, most urgent first."""

    STOP = "stop"
    LIVE = "live"
    WATCH = "watch"
    BULK = "bulk"


@dataclass(frozen=True, slots=True)
class Pending:
    """One command on its way, rendered once."""

    ticket: int
    lane: Lane
    command: Command
    data: bytes
    arrives: Seconds = NOT_YET
    """When the board can have the whole of it."""


@final
class Lanes:
    """Holds what waits, and picks what goes next."""

    def __init__(self) -> None:
        self._stops: Final[deque[Pending]] = deque()
        self._live: Final[dict[str, Pending]] = {}
        self._watch: Pending | None = None
        self._bulk: Final[deque[Pending]] = deque()

    def push(self, pending: Pending, slot: str = "") -> Pending | None:
        """Queue a command; gives the one it replaced, which will never be sent."""
        match pending.lane:
            case Lane.STOP:
                self._stops.append(pending)
                return None
            case Lane.LIVE:
                replaced = self._live.pop(slot, None)
                self._live[slot] = pending
                return replaced
            case Lane.WATCH:
                replaced, self._watch = self._watch, pending
                return replaced
            case Lane.BULK:
                self._bulk.append(pending)
                return None

    @property
    def stopping(self) -> bool:
        """Whether a stop waits."""
        return bool(self._stops)

    def next_stop(self) -> Pending | None:
        """A waiting stop."""
        return self._stops.popleft() if self._stops else None

    def next(self, in_flight: tuple[Pending, ...], window: Window) -> Pending | None:
        """The command that may leave now, or None."""
        if any(p.command.alone for p in in_flight):
            return None
        flying = {p.lane for p in in_flight}
        if self._live:
            slot = next(iter(self._live))
            return self._take_live(slot, flying, window)
        if self._watch and Lane.WATCH not in flying and self._fits(self._watch, window):
            pending, self._watch = self._watch, None
            return pending
        if self._bulk and self._fits(self._bulk[0], window):
            return self._bulk.popleft()
        return None

    def drop_passing(self) -> tuple[Pending, ...]:
        """Empty live and watch, whose lines are worth nothing later."""
        watch = (self._watch,) if self._watch else ()
        dropped = (*self._live.values(), *watch)
        self._live.clear()
        self._watch = None
        return dropped

    def drop_permitted(self) -> tuple[Pending, ...]:
        """Take out of bulk what has a permit to move something."""
        dropped = tuple(p for p in self._bulk if p.command.permit is not None)
        for pending in dropped:
            self._bulk.remove(pending)
        return dropped

    def drop_all(self) -> tuple[Pending, ...]:
        """Empty every lane but stop; gives what will never be sent."""
        dropped = (*self.drop_passing(), *self._bulk)
        self._bulk.clear()
        return dropped

    def _take_live(
        self, slot: str, flying: set[Lane], window: Window
    ) -> Pending | None:
        if Lane.LIVE in flying or not self._fits(self._live[slot], window):
            return None
        return self._live.pop(slot)

    @staticmethod
    def _fits(pending: Pending, window: Window) -> bool:
        if pending.command.alone:
            return window.unanswered == 0
        return window.admits(len(pending.data))

"""The conversation as the pump sees it: fed with bytes and time, never reading."""

from collections.abc import Callable
from typing import Protocol

from benchlink.console.events import Event
from benchlink.console.lanes import Lane
from benchlink.console.last_look import Epoch
from benchlink.console.phases import Phase
from benchlink.core.exchange import Command
from benchlink.units import Baud, Seconds


class Talk(Protocol):
    """One conversation; used by the link thread only.

    An answered restart command sends it back to waiting for the prompt by itself.
    """

    @property
    def phase(self) -> Phase:
        """Where it stands."""
        ...

    def submit(self, lane: Lane, command: Command, *, slot: str = "") -> int:
        """Queue a command; its ticket comes back with the answer."""
        ...

    def feed(self, data: bytes, now: Seconds) -> None:
        """Bytes from the board."""
        ...

    def tick(self, now: Seconds) -> None:
        """Time goes by."""
        ...

    def outgoing(self, now: Seconds) -> bytes:
        """The next bytes to write, or nothing; handed over counts as sent."""
        ...

    def deadline(self, now: Seconds) -> Seconds | None:
        """When to look again if nothing arrives."""
        ...

    def events(self) -> list[Event]:
        """What happened since the last call."""
        ...

    def hush(self) -> None:
        """Send nothing more but stops."""
        ...

    def lost(self) -> None:
        """The wire is gone: everything outstanding ends unanswered."""
        ...


Begin = Callable[[Baud | None, Seconds, Epoch], Talk]
"""Begins a fresh conversation on a wire just opened: what paces it, the time, and who
knows in which epoch the connection is."""

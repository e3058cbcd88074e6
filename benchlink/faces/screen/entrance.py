"""How the full screen gets to a board: what the wiring must offer."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from benchlink.core.doors import Person
    from benchlink.core.intent import Intent
    from benchlink.faces.wiring import Bench


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One port in the list."""

    title: str
    detail: str
    """Product and serial number, as far as they are known."""
    url: str


class Entrance(Protocol):
    """The way in; everything but `places` is called on the work thread only."""

    @property
    def chosen(self) -> Place | None:
        """The port named beforehand: the list is skipped."""
        ...

    @property
    def rehearse_at_once(self) -> bool:
        """Whether to skip the list and start a simulated aircraft."""
        ...

    def places(self) -> tuple[Place, ...]:
        """Ports that are there now; cheap, asked for several times a second."""
        ...

    def open(self, place: Place, person: "Person") -> "Bench":
        """Open a port and meet its board; takes as long as it takes.

        Raises:
            BenchError: any of that failed.
        """
        ...

    def rehearse(self, person: "Person") -> "Bench":
        """Start a simulated aircraft and meet its board.

        Raises:
            BenchError: it did not start, or did not answer.
        """
        ...

    def left_open(self, bench: "Bench", person: "Person") -> tuple[str, ...]:
        """What was left unfinished on this board, a sentence each."""
        ...

    def intent(self, bench: "Bench") -> "Intent | None":
        """What to hold the board against; None shows the settings only.

        Raises:
            BenchError: the profile cannot be used.
        """
        ...

"""How the full screen gets to a board: what the wiring must offer."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from benchlink.core.doors import Person
    from benchlink.faces.hands import Hands
    from benchlink.faces.screen.threads.home_facts import HomeFacts, Volts
    from benchlink.faces.screen.threads.person import ScreenPerson
    from benchlink.faces.screen.threads.values_facts import ValuesFacts
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

    @property
    def hands(self) -> "Hands | None":
        """The hands on the aircraft that is open; None where it is a real one."""
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

    def job(self, bench: "Bench", person: "ScreenPerson") -> "HomeFacts":
        """How the job stands on an open board.

        Raises:
            BenchError: it could not be read so that it can be believed.
        """
        ...

    def values(self, bench: "Bench", person: "ScreenPerson") -> "ValuesFacts":
        """What an open board holds, beside what it should hold; read anew, both.

        Raises:
            BenchError: it could not be read so that it can be believed; what cannot be
                held against is only reported.
        """
        ...

    def volts(self, bench: "Bench") -> "Volts":
        """What feeds an open board now.

        Raises:
            LinkError: the port went away or the board fell silent for good.
        """
        ...

    def station(
        self, bench: "Bench", person: "ScreenPerson", words: tuple[str, ...]
    ) -> int:
        """Do a verb's work on an open board; `words` as on the command line.

        Raises:
            BenchError: it came to nothing.
        """
        ...

    def talk(self, bench: "Bench") -> None:
        """Talk to an open board at the terminal; on the main thread, no screen shown.

        What goes wrong with the board is told there.
        """
        ...

"""The person, the stations, the board and the hands: made when they are first needed.

Nobody waits for what these import: the list of ports stands by then.
"""

import time
from functools import cached_property
from typing import TYPE_CHECKING, Final, NamedTuple, final

from benchlink.faces.screen.threads.pulse import Pulse
from benchlink.units import Seconds

if TYPE_CHECKING:
    from collections.abc import Callable

    from benchlink.faces.screen.board_desk import BoardDesk
    from benchlink.faces.screen.hands.hands_desk import HandsDesk
    from benchlink.faces.screen.stations import Stations
    from benchlink.faces.screen.threads.entrance import Entrance
    from benchlink.faces.screen.threads.person import ScreenPerson
    from benchlink.faces.screen.threads.work import Post, Work

    Aside = Callable[[Callable[[], None]], None]


def _now() -> Seconds:
    return Seconds(time.monotonic())


class Asides(NamedTuple):
    """Threads for what the work thread must not wait for."""

    let_go: "Aside"
    by_hand: "Aside"


@final
class Desks:
    """One of each for the program."""

    def __init__(
        self, entrance: "Entrance", post: "Post", work: "Work", asides: Asides
    ) -> None:
        self._entrance: Final = entrance
        self._work: Final = work
        self.post: Final = post
        self.asides: Final = asides
        self.pulse: Final = Pulse(_now)

    @cached_property
    def person(self) -> "ScreenPerson":
        """Whoever sits there, as workflows see them."""
        from benchlink.faces.screen.threads.person import ScreenPerson  # noqa: PLC0415

        return ScreenPerson(self.post, _now, self.pulse)

    @cached_property
    def stations(self) -> "Stations":
        """Which piece of work is going on."""
        from benchlink.faces.screen.stations import Stations  # noqa: PLC0415

        return Stations(self._entrance, self.person, self._work)

    @cached_property
    def board(self) -> "BoardDesk":
        """The board that is open."""
        from benchlink.faces.screen.board_desk import BoardDesk  # noqa: PLC0415

        return BoardDesk(
            self._entrance, self.person, self._work, lambda: self.stations.running
        )

    @cached_property
    def hands(self) -> "HandsDesk":
        """The hands on a simulated aircraft."""
        from benchlink.faces.screen.hands.hands_desk import HandsDesk  # noqa: PLC0415

        return HandsDesk(self._entrance, self.post, self.asides.by_hand)

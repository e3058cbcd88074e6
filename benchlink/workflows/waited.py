"""A wait for the board, told to the person: so long, of so long at most."""

from typing import Final, final

from benchlink.core.advance import Advance, Wait
from benchlink.core.doors import Person
from benchlink.units import Seconds


@final
class Waited:
    """Made for one wait; called with the seconds left, again and again."""

    def __init__(self, person: Person, what: str) -> None:
        self._person: Final = person
        self._what: Final = what
        self._at_most: float | None = None
        self._left = 0.0

    def __call__(self, left: Seconds) -> None:
        """Tell it; where the time was made longer, so is what it takes at most."""
        if self._at_most is None:
            self._at_most = left
        elif left > self._left:
            self._at_most += left - self._left
        self._left = left
        wait = Wait(
            so_far=Seconds(self._at_most - left), at_most=Seconds(self._at_most)
        )
        self._person.progress(Advance(what=self._what, wait=wait))

"""How much a listing says: measured at each, so that the next one can tell its end."""

from typing import Final, final

from benchlink.core.advance import Advance, Amount
from benchlink.core.doors import Person, Progress


@final
class Listings:
    """What one listing came to the last time; nothing is known before the first."""

    def __init__(self) -> None:
        self.last_bytes: int | None = None


@final
class Heard:
    """What came in one reading of several listings, told to the person as it comes."""

    def __init__(
        self, listings: Listings, person: Person, what: str, count: int
    ) -> None:
        self._listings: Final = listings
        self._person: Final = person
        self._what: Final = what
        self._count: Final = count
        self._before = self._now = 0

    def next(self) -> Progress:
        """For the next question of the reading."""
        self._before += self._now
        self._now = 0
        return self._tell

    def note(self) -> None:
        """The reading is through: remember what one listing of it came to."""
        self._listings.last_bytes = (self._before + self._now) // self._count

    def _tell(self, received_bytes: int, _answers: int) -> None:
        self._now = received_bytes
        last = self._listings.last_bytes
        size = Amount(
            done=self._before + received_bytes,
            total=None if last is None else last * self._count,
            about=True,
        )
        self._person.progress(Advance(what=self._what, size=size))

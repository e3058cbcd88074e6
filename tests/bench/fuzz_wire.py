"""A wire that damages what a live board says, at places chosen beforehand."""

from random import Random
from typing import TYPE_CHECKING, Final, final

from benchlink.console.description import Description
from tests.bench.fuzz_noise import noise

if TYPE_CHECKING:
    from collections.abc import Callable

HELD: Final = 40
"""Bytes that may come late, behind those after them."""
MOST: Final = 64
"""Bytes that are lost or come twice at one place."""


@final
class DamagingWire:
    """Called with what the board says; gives what arrives."""

    def __init__(
        self,
        chance: Random,
        description: Description,
        places: list[int],
        foreign: bytes = b"",
    ) -> None:
        self._chance: Final = chance
        self._description: Final = description
        self._places: Final = sorted(places, reverse=True)
        self._foreign: Final = foreign
        """Said by another board: pieces of it may turn up."""
        self._passed = 0
        self._late = b""
        self._last = b""
        self._harms: Final[tuple[Callable[[bytes], bytes], ...]] = (
            *(self._flipped, self._flipped, self._dropped, self._dropped),
            *(self._doubled, self._swapped, self._joined, self._inserted),
        )
        self.done = 0
        """How often something was spoiled."""

    def __call__(self, data: bytes) -> bytes:
        """What arrives of this."""
        arrived = b""
        while self._places and self._places[-1] < self._passed + len(data):
            at = max(0, self._places.pop() - self._passed)
            arrived += self._pass(data[:at])
            data = data[at:]
            before = len(data)
            data = self._chance.choice(self._harms)(data)
            self._passed += before - len(data)
            self.done += 1
        return arrived + self._pass(data)

    def _pass(self, data: bytes) -> bytes:
        self._passed += len(data)
        self._last = (self._last + data)[-MOST:]
        late, self._late = (self._late, b"") if data else (b"", self._late)
        return data + late

    def _flipped(self, data: bytes) -> bytes:
        if not data:
            return data
        return bytes([data[0] ^ 1 << self._chance.randrange(8)]) + data[1:]

    def _dropped(self, data: bytes) -> bytes:
        return data[self._chance.choice((1, 1, 2, 8, MOST)) :]

    def _doubled(self, data: bytes) -> bytes:
        return self._last[-self._chance.randint(1, MOST) :] + data

    def _swapped(self, data: bytes) -> bytes:
        size = self._chance.randint(1, HELD)
        self._late += data[:size]
        return data[size:]

    def _joined(self, data: bytes) -> bytes:
        """The end of a line is lost."""
        end = data.find(b"\n")
        return data[:end] + data[end + 1 :] if 0 <= end < MOST else data

    def _inserted(self, data: bytes) -> bytes:
        if self._foreign and self._chance.random() < 0.3:
            at = self._chance.randrange(len(self._foreign))
            return self._foreign[at : at + self._chance.randint(1, MOST)] + data
        return noise(self._chance, self._description, ()) + data

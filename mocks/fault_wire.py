"""Faults on the wire: bytes that do not arrive as they were sent."""

from abc import abstractmethod
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, final

from .fault import Chance, Way

if TYPE_CHECKING:
    from random import Random

ANY_BIT = -1
_BITS = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class WireFault(Chance):
    """Changes single bytes; `at` counts the bytes of one way, damaged or not."""

    way: Way = Way.RECEIVED

    @abstractmethod
    def change(self, byte: bytes, random: "Random", /) -> bytes:
        """What becomes of the one byte that is hit."""


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class LostByte(WireFault):
    """The byte does not arrive."""

    name: ClassVar[str] = "lost byte"

    def change(self, byte: bytes, _random: "Random", /) -> bytes:
        """Nothing."""
        return byte[1:]


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class DoubledByte(WireFault):
    """The byte arrives twice."""

    name: ClassVar[str] = "doubled byte"

    def change(self, byte: bytes, _random: "Random", /) -> bytes:
        """Twice the same."""
        return byte * 2


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class FlippedByte(WireFault):
    """One bit of the byte arrives inverted."""

    name: ClassVar[str] = "flipped byte"
    bit: int = ANY_BIT
    """0 is the lowest; -1: another one each time."""

    def problem(self) -> str | None:
        """A byte has eight bits."""
        if not ANY_BIT <= self.bit < _BITS:
            return "bit must be 0 to 7, or -1 for any"
        return Chance.problem(self)

    def change(self, byte: bytes, random: "Random", /) -> bytes:
        """The byte with one bit inverted."""
        bit = random.randrange(_BITS) if self.bit == ANY_BIT else self.bit
        return bytes(each ^ 1 << bit for each in byte)


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class InputOverrun(Chance):
    """From this byte on the board takes none for a while; they count as dropped."""

    name: ClassVar[str] = "input overrun"
    for_ms: int = 20

    def problem(self) -> str | None:
        """It must last."""
        return "for_ms must be above 0" if self.for_ms <= 0 else Chance.problem(self)

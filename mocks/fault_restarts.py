"""Faults of restarts: what comes back, and where."""

from abc import abstractmethod
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Final, final

from .fault import Chance
from .fault_events import Path, Pull
from .fleet import fit_out
from .settings import Owner
from .store import MemoryStore

if TYPE_CHECKING:
    from random import Random

    from .device import Device

AWAY_US: Final = 300_000
"""How long the port is gone when a restart changes it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RestartFault(Chance):
    """Changes what a restart brings; `at` counts restarts, not the first power-up."""

    @abstractmethod
    def befall(self, device: "Device", now_us: int, random: "Random", /) -> None:
        """Happens as the board resets, before the store is loaded."""


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class NoReturn(RestartFault):
    """The board stays silent and deaf; another power-up may bring it back."""

    name: ClassVar[str] = "no return"

    def befall(self, device: "Device", _now_us: int, _random: "Random", /) -> None:
        """Dead."""
        device.dead = True


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class AnotherBoard(RestartFault):
    """A board with another number stands there, with the same values as far as kept."""

    name: ClassVar[str] = "another board"
    fresh: bool = False
    """Nothing was ever kept on it but its own calibration."""

    def befall(self, device: "Device", _now_us: int, random: "Random", /) -> None:
        """Exchange the board."""
        others = fit_out(
            count=len(device.aircraft.settings), seed=random.getrandbits(32)
        )
        store = None
        if self.fresh:
            store = MemoryStore()
            own = (s for s in others if s.owner is Owner.CALIBRATION)
            known = device.aircraft.settings
            store.save({s.name: s.factory for s in own if s.name in known})
        number = next(s.factory for s in others if s.name == "board.number")
        device.aircraft.exchange(number, store)


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class AnotherPath(RestartFault):
    """The port goes away for a while and comes back under another name."""

    name: ClassVar[str] = "another path"

    def befall(self, device: "Device", now_us: int, _random: "Random", /) -> None:
        """Ask the line for it."""
        device.faults.pull = Pull(
            at_us=now_us, back_us=now_us + AWAY_US, path=Path.OTHER
        )

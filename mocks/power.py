"""The volts: pack, servo rail, USB, and when the board has too few of them.

The pack feeds the ESCs, and through a BEC the board and the servo rail. With the pack
out the board lives on USB, which feeds no servo; a bench supply may feed the rail
alone. While the pack is in, a BEC that collapses takes the board with it, cable or not.
"""

from dataclasses import dataclass, field
from typing import Final, final

BROWN_V: Final = 4.0
"""Below this the board resets."""
IDLE_A: Final = 0.31
"""What the board and its sensors draw from the pack."""
_USB_V: Final = 5.0
_RAIL_OHM: Final = 0.05
_BEC_SHARE: Final = 0.9
"""Of what a BEC takes, it gives so much."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """Something that feeds the servo rail."""

    volts: float
    most_a: float
    """More than that, and its volts collapse."""

    def volts_at(self, amps: float) -> float:
        """What is left of its volts under a load."""
        open_v = self.volts * min(1.0, self.most_a / amps) if amps else self.volts
        return open_v - amps * _RAIL_OHM


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """A flight pack."""

    cells: int = 4
    rest_v: float = 15.9 + IDLE_A * 0.04
    """Without any load; 15.9 V with the board on it."""
    resistance_ohm: float = 0.04
    """Of all cells and the leads together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What is drawn, in ampere."""

    servos: float = 0.0
    motors: float = 0.0


@final
@dataclass(slots=True, kw_only=True)
class Power:
    """What is connected, and the volts and amperes that come of it."""

    pack: Pack = field(default_factory=Pack)
    pack_in: bool = False
    """A fresh bench: the pack is out, and nothing feeds the servo rail."""
    usb_in: bool = True
    bec: Feed = field(default_factory=lambda: Feed(volts=5.02, most_a=5.0))
    supply: Feed | None = None
    """A bench supply on the servo rail; the BEC then feeds the board alone."""
    collapses: int = 0
    """How often the board had too few volts."""

    @property
    def rail_on(self) -> bool:
        """Whether the servos have volts at all."""
        return self.pack_in or self.supply is not None

    @property
    def board_on(self) -> bool:
        """Whether anything feeds the board."""
        return self.pack_in or self.usb_in

    @property
    def motor_v(self) -> float:
        """What the ESCs get, at rest."""
        return self.pack.rest_v if self.pack_in else 0.0

    def rail_v(self, load: Load) -> float:
        """The servo rail under this load."""
        feed = self.supply or (self.bec if self.pack_in else None)
        return max(0.0, feed.volts_at(load.servos)) if feed else 0.0

    def board_v(self, load: Load) -> float:
        """What the board itself gets."""
        if not self.pack_in:
            return _USB_V if self.usb_in else 0.0
        return self.bec.volts_at(0.0 if self.supply else load.servos)

    def drawn_a(self, load: Load) -> float:
        """What leaves the pack."""
        if not self.pack_in:
            return 0.0
        servos_w = 0.0 if self.supply else load.servos * max(0.0, self.rail_v(load))
        return IDLE_A + load.motors + servos_w / _BEC_SHARE / self.pack.rest_v

    def readings(self, load: Load) -> dict[str, float]:
        """What the board measures."""
        drawn_a = self.drawn_a(load)
        pack_v = self.motor_v - drawn_a * self.pack.resistance_ohm
        return {
            "pack-volts": pack_v if self.pack_in else 0.0,
            "rail-volts": self.rail_v(load),
            "current": drawn_a,
        }

"""One motor and its ESC: how fast it turns, which way, and what it draws.

The speed rises and falls in straight lines, so it is worked out and never stepped to.
"""

from dataclasses import dataclass
from typing import Final, final

from .drives import SPAN_US, TOP_REV_MIN, ZERO_US

FULL_V: Final = 15.9
"""The pack at which full power gives `TOP_REV_MIN`."""
LOW_US: Final = 250_000
"""How long an ESC that wants a low signal first must see it."""
FORGETS_US: Final = 1_000_000
"""After so long without a signal it wants that again."""
_STARTS: Final = 0.02
"""Below this share of full power an ESC does nothing."""
_UP_US: Final = 200_000
_DOWN_US: Final = 250_000
"""From rest to full speed and back, props off."""
_IDLE_A: Final = 0.4
_BARE_A: Final = 5.0
_LOADED_A: Final = 22.0
_LOADED_SHARE: Final = 0.75
"""Speed with a prop, of the speed without one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wiring:
    """How a motor hangs on its ESC."""

    swapped: bool = False
    """Two of its three leads changed places: it turns the other way."""
    low_first: bool = False
    """Its ESC starts only after it has seen a low signal."""


@final
class Motor:
    """A motor with its ESC. Times are integer microseconds."""

    def __init__(self, wiring: Wiring | None = None) -> None:
        self.wiring = wiring or Wiring()
        self.loaded = False
        """A prop is on it."""
        self.most = 0.0
        """Highest share of full speed since somebody looked."""
        self.turned = ""
        """Which way it turned then; empty: not at all."""
        self.began_us: int | None = None
        """When it last began to turn; None: never."""
        self.stood_us: int | None = None
        """When it stood still after that; None: it turns."""
        self._level = 0.0
        self._goal = 0.0
        self._per_us = 0.0
        self._now_us = 0
        self._volts = 0.0
        self._reversed = False
        self._ready = False
        self._low_since_us: int | None = None
        self._silent_since_us: int | None = None

    @property
    def driven(self) -> bool:
        """Whether it turns or is about to."""
        return max(self._level, self._goal) > 0

    @property
    def way(self) -> str:
        """Which way it turns or would turn, seen from above with the arm upright."""
        return "anticlockwise" if self._backwards else "clockwise"

    @property
    def rev_min(self) -> float:
        """How fast it turns."""
        share = _LOADED_SHARE if self.loaded else 1.0
        return self._level * share * TOP_REV_MIN * self._volts / FULL_V

    @property
    def amps(self) -> float:
        """What it draws from the pack."""
        if not self._goal:
            return 0.0
        heavy_a = _LOADED_A if self.loaded else _BARE_A
        return _IDLE_A + heavy_a * self._level**2

    @property
    def due_us(self) -> int | None:
        """When it has the speed that it was told; None: it has it."""
        way = abs(self._goal - self._level)
        return self._now_us + max(1, -int(-way // self._per_us)) if way else None

    def settle(self, now_us: int) -> None:
        """Let it run up to this time."""
        due_us = self.due_us
        if due_us is not None:
            way = self._per_us * (now_us - self._now_us)
            if due_us <= now_us:
                self._level = self._goal
                if not self._level:
                    self.stood_us = due_us
            else:
                self._level += way if self._goal > self._level else -way
            self._note()
        self._now_us = now_us

    def aim(
        self, pulse_us: float, volts: float, *, ramp_us: int, reversed_: bool
    ) -> None:
        """Take what stands on its ESC from now on.

        Args:
            pulse_us: Width of the signal; 0 where there is none.
            volts: Of the pack, at rest; 0 where it is out.
            ramp_us: How slowly the board lets it start, from rest to full speed.
            reversed_: The board told the ESC to turn it the other way.
        """
        self._reversed = reversed_
        stood = not self.driven
        self._listen(pulse_us, powered=volts > 0)
        power = max(0.0, min(1.0, (pulse_us - ZERO_US) / SPAN_US))
        self._goal = power if power >= _STARTS and self._ready else 0.0
        if volts:
            self._volts = volts
        if stood and self._goal:
            self.began_us, self.stood_us = self._now_us, None
        rises = self._goal > self._level
        self._per_us = 1 / (max(ramp_us, _UP_US) if rises else _DOWN_US)
        self._note()

    def look(self) -> tuple[str, float]:
        """Which way it turned since this was last asked, and its highest speed."""
        seen = self.turned, self.most * TOP_REV_MIN * self._volts / FULL_V
        self.most, self.turned = self._level, self.way if self.driven else ""
        return seen

    @property
    def _backwards(self) -> bool:
        return self._reversed != self.wiring.swapped

    def _note(self) -> None:
        if self.driven:
            self.turned = self.way
        self.most = max(self.most, self._level)

    def _listen(self, pulse_us: float, *, powered: bool) -> None:
        """Whether the ESC takes the signal."""
        now_us, silent_us = self._now_us, self._silent_since_us
        if not powered or (silent_us is not None and now_us - silent_us >= FORGETS_US):
            self._ready, self._low_since_us = False, None
        low_us = self._low_since_us
        if powered and not self.wiring.low_first:
            self._ready = True
        if low_us is not None and now_us - low_us >= LOW_US:
            self._ready = True
        low = powered and 0 < pulse_us < ZERO_US + _STARTS * SPAN_US
        self._low_since_us = (now_us if low_us is None else low_us) if low else None
        if pulse_us:
            self._silent_since_us = None
        elif silent_us is None:
            self._silent_since_us = now_us

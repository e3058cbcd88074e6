"""What the board feels of the aircraft and the bench.

How it is held, its warmth and what the radio sends are set by hand. What is metered
comes from the power, unless somebody pins it: a meter that is off.

Roll is positive with the right side down, pitch with the nose up, yaw with the nose to
the right. The accelerometer feels what holds the aircraft: level, 1 g upwards.
"""

import math
from collections.abc import Callable, Mapping
from typing import Final, final

from .quantities import RefusalError

CHANNELS: Final = 8
AXES: Final = ("roll", "pitch", "yaw")
METERED: Final = ("pack-volts", "rail-volts", "current")
_RESTING: Final = {
    "pack-volts": 15.9,
    "rail-volts": 5.02,
    "current": 0.31,
    "temperature": 31.5,
    "roll": 1.2,
    "pitch": -0.6,
    "yaw": 41.0,
    "roll-rate": 0.0,
    "pitch-rate": 0.0,
    "yaw-rate": 0.0,
}
"""V, V, A, degrees Celsius, degrees, degrees a second."""
_STICKS_US: Final = (1500, 1500, 1000, 1500, 2000, 1000, 1500, 1500)


def _nothing(_now_us: int | None) -> None:
    """Nobody wants to know."""


@final
class Physical:
    """Values by their names; `channel-1` and so on are pulses in us."""

    def __init__(self, changed: Callable[[int | None], None] = _nothing) -> None:
        self._changed = changed
        self._pinned: set[str] = set()
        channels = enumerate(_STICKS_US, start=1)
        self._values = _RESTING | {f"channel-{n}": float(us) for n, us in channels}

    def __getitem__(self, name: str) -> float:
        """A value as the board feels it."""
        return self._values[name]

    def set(self, name: str, given: str) -> None:
        """Change a value; one that is metered is pinned. Raises `RefusalError`."""
        if name not in self._values:
            msg = f"nothing is called '{name}'; known are {', '.join(self._values)}"
            raise RefusalError(msg)
        try:
            value = float(given)
        except ValueError:
            value = math.nan
        if not math.isfinite(value):
            msg = f"'{given}' is not a number"
            raise RefusalError(msg)
        self._values[name] = value
        if name in METERED:
            self._pinned.add(name)
        self._changed(None)

    def free(self, name: str) -> None:
        """What is metered follows the power again. Raises `RefusalError`."""
        if name not in METERED:
            msg = f"what is metered is {', '.join(METERED)}"
            raise RefusalError(msg)
        self._pinned.discard(name)
        self._changed(None)

    def measure(self, readings: Mapping[str, float]) -> None:
        """Take what the meters show now."""
        for name, value in readings.items():
            if name not in self._pinned:
                self._values[name] = value

    def all(self) -> dict[str, float]:
        """All values."""
        return dict(self._values)

    @property
    def attitude_deg(self) -> tuple[float, float, float]:
        """Roll, pitch, yaw."""
        return self["roll"], self["pitch"], self["yaw"]

    @property
    def rates_deg_s(self) -> tuple[float, float, float]:
        """Roll, pitch, yaw."""
        return self["roll-rate"], self["pitch-rate"], self["yaw-rate"]

    @property
    def pull_g(self) -> tuple[float, float, float]:
        """Specific force of an aircraft that is held still: forward, right, down."""
        roll, pitch = math.radians(self["roll"]), math.radians(self["pitch"])
        return (
            math.sin(pitch),
            -math.cos(pitch) * math.sin(roll),
            -math.cos(pitch) * math.cos(roll),
        )

    @property
    def channels_us(self) -> tuple[float, ...]:
        """What the radio sends."""
        return tuple(self[f"channel-{n}"] for n in range(1, CHANNELS + 1))

"""What a board can tell of the aircraft: quantities, their units, and looks at them.

One convention for all consoles, the axes of ISO 1151 (forward, right, down): roll is
positive with the right side down, pitch with the nose up, yaw with the nose to the
right, as whoever sits in it sees them; rates alike. Acceleration is what the sensor
feels (specific force), positive forward, right and down: level and at rest it is 1 g
up, that is -1 g down.
"""

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum
from typing import Final

G_M_S2: Final = 9.80665
"""Standard gravity (3rd CGPM, 1901)."""
ENOUGH: Final = 2
"""Looks that have to agree before a value is believed."""


class Quantity(Enum):
    """What can be read; the word stands in descriptions."""

    ROLL = "roll"
    PITCH = "pitch"
    YAW = "yaw"
    ACCELERATION_FORWARD = "acceleration-forward"
    ACCELERATION_RIGHT = "acceleration-right"
    ACCELERATION_DOWN = "acceleration-down"
    ROLL_RATE = "roll-rate"
    PITCH_RATE = "pitch-rate"
    YAW_RATE = "yaw-rate"
    CHANNEL = "channel"
    OUTPUT = "output"
    PACK_VOLTS = "pack-volts"
    RAIL_VOLTS = "rail-volts"
    CURRENT = "current"
    TEMPERATURE = "temperature"
    UPTIME = "uptime"
    MOTOR_SPEED = "motor-speed"


NUMBERED: Final = frozenset({Quantity.CHANNEL, Quantity.OUTPUT, Quantity.MOTOR_SPEED})
"""Quantities of which there are several, counted from 1."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit that boards use: ours is `number * factor + offset`."""

    factor: float = 1.0
    offset: float = 0.0

    def ours(self, number: float) -> float:
        """A number of this unit in our own."""
        return number * self.factor + self.offset


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """How a quantity is measured; the first of the `units` is ours."""

    units: Mapping[str, Unit]
    least: float
    most: float
    """Beyond these no bench has it: an answer that says so is damaged or misread."""
    near: float
    """Two looks so near to each other agree."""
    places: int = 0
    """Digits behind the point that are worth showing."""

    @property
    def unit(self) -> str:
        """The name of our unit."""
        return next(iter(self.units))


_RAD: Final = Unit(180 / math.pi)
_ANGLE: Final = Measure(
    units={"deg": Unit(), "rad": _RAD}, least=-180, most=360, near=2, places=1
)
_RATE: Final = Measure(
    units={"deg/s": Unit(), "rad/s": _RAD}, least=-4000, most=4000, near=10, places=1
)
_ACCELERATION: Final = Measure(
    units={"g": Unit(), "m/s2": Unit(1 / G_M_S2)},
    least=-40,
    most=40,
    near=0.1,
    places=2,
)
_PULSE: Final = Measure(
    units={"us": Unit(), "ms": Unit(1e3), "s": Unit(1e6)}, least=0, most=5000, near=10
)
_VOLTS: Final = Measure(
    units={"V": Unit(), "mV": Unit(1e-3)}, least=0, most=120, near=0.3, places=2
)

MEASURES: Final[Mapping[Quantity, Measure]] = {
    Quantity.ROLL: _ANGLE,
    Quantity.PITCH: _ANGLE,
    Quantity.YAW: _ANGLE,
    Quantity.ACCELERATION_FORWARD: _ACCELERATION,
    Quantity.ACCELERATION_RIGHT: _ACCELERATION,
    Quantity.ACCELERATION_DOWN: _ACCELERATION,
    Quantity.ROLL_RATE: _RATE,
    Quantity.PITCH_RATE: _RATE,
    Quantity.YAW_RATE: _RATE,
    Quantity.CHANNEL: _PULSE,
    Quantity.OUTPUT: _PULSE,
    Quantity.PACK_VOLTS: _VOLTS,
    Quantity.RAIL_VOLTS: _VOLTS,
    Quantity.CURRENT: Measure(
        units={"A": Unit(), "mA": Unit(1e-3)}, least=-200, most=500, near=1, places=2
    ),
    Quantity.TEMPERATURE: Measure(
        units={"C": Unit(), "K": Unit(1, -273.15), "F": Unit(5 / 9, -160 / 9)},
        least=-60,
        most=200,
        near=2,
        places=1,
    ),
    Quantity.UPTIME: Measure(
        units={"s": Unit(), "ms": Unit(1e-3), "min": Unit(60)},
        least=0,
        most=1e8,
        near=60,
        places=1,
    ),
    Quantity.MOTOR_SPEED: Measure(
        units={"rev/min": Unit(), "rev/s": Unit(60)}, least=0, most=200_000, near=200
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One value of one look, in our unit and sign."""

    quantity: Quantity
    value: float
    number: int = 0
    """Which of several; 0 where there is one."""

    def __str__(self) -> str:
        return f"{self.quantity.value} {self.number or ''}".rstrip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A quantity after several looks."""

    quantity: Quantity
    number: int
    value: float
    """The latest of those that agree; without meaning where it is not steady."""
    between: tuple[float, float] | None = None
    """Least and most that were seen, where no two looks agree."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NotBelieved:
    """Something that was asked for and not answered so that it can be believed."""

    asked: str
    quantities: tuple[Quantity, ...]
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """All that a board tells at one time."""

    readings: tuple[Reading, ...]
    not_believed: tuple[NotBelieved, ...] = ()
    unmeasured: tuple[Quantity, ...] = field(default=())
    """What the console can tell, and has nothing to tell of now."""
    untold: tuple[Quantity, ...] = field(default=())
    """What this console has no way to tell."""


Copy = Sequence[Measured]
"""What one answer told."""


def agree(first: Copy, second: Copy) -> bool:
    """Whether two looks tell of the same things, and each alike."""
    return {_key(m) for m in first} == {_key(m) for m in second} and all(
        _near(m.quantity, m.value, other.value)
        for m, other in zip(_sorted(first), _sorted(second), strict=True)
    )


def settled(copies: Sequence[Copy]) -> tuple[Reading, ...]:
    """One reading for each thing that at least two of the looks tell of."""
    return tuple(_readings(copies))


def told_once(copies: Sequence[Copy]) -> tuple[Measured, ...]:
    """What but one of the looks tells of."""
    counts = Counter(_key(one) for copy in copies for one in copy)
    return tuple(one for copy in copies for one in copy if counts[_key(one)] == 1)


def _readings(copies: Sequence[Copy]) -> Iterator[Reading]:
    seen: dict[tuple[Quantity, int], list[float]] = {}
    for copy in copies:
        for measured in copy:
            seen.setdefault(_key(measured), []).append(measured.value)
    for (quantity, number), values in seen.items():
        if len(values) >= ENOUGH:
            yield _reading(quantity, number, values)


def _reading(quantity: Quantity, number: int, values: list[float]) -> Reading:
    for index in range(len(values) - 1, 0, -1):
        if any(_near(quantity, values[index], v) for v in values[:index]):
            return Reading(quantity=quantity, number=number, value=values[index])
    return Reading(
        quantity=quantity,
        number=number,
        value=values[-1],
        between=(min(values), max(values)),
    )


def _near(quantity: Quantity, first: float, second: float) -> bool:
    return abs(first - second) <= MEASURES[quantity].near


def _key(measured: Measured) -> tuple[Quantity, int]:
    return measured.quantity, measured.number


def _sorted(copy: Copy) -> list[Measured]:
    return sorted(copy, key=lambda m: (m.quantity.value, m.number))

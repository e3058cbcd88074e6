"""What the avocet console says of the aircraft, and what moves outputs.

Only the grammar is that of V.250. Hundredths of a degree, with the nose to the left
positive; mV, mA, tenths of a kelvin, ms; pulses in counts of half a microsecond.
"""

from typing import TYPE_CHECKING, Final

from .drives import SIDES
from .quantities import RefusalError

if TYPE_CHECKING:
    from .aircraft import Aircraft

_HUNDREDTHS: Final = 100
_MILLI: Final = 1000
_KELVIN: Final = 273.15
_TENTHS: Final = 10
_COUNTS_PER_US: Final = 2
_US_PER_TENTH: Final = 100_000
_PERMILLE: Final = 1000


def lean(craft: "Aircraft", _now_us: int) -> tuple[str, ...]:
    """Roll, pitch and yaw."""
    roll, pitch, yaw = craft.physical.attitude_deg
    return (_row(*(round(a * _HUNDREDTHS) for a in (roll, pitch, -yaw))),)


def feed(craft: "Aircraft", _now_us: int) -> tuple[str, ...]:
    """Pack, rail and current."""
    names = ("pack-volts", "rail-volts", "current")
    return (_row(*(round(craft.physical[name] * _MILLI) for name in names)),)


def heat(craft: "Aircraft", _now_us: int) -> tuple[str, ...]:
    """Temperature."""
    return (_row(round((craft.physical["temperature"] + _KELVIN) * _TENTHS)),)


def age(craft: "Aircraft", now_us: int) -> tuple[str, ...]:
    """Time since power-up."""
    return (_row(craft.uptime_ms(now_us)),)


def sticks(craft: "Aircraft", _now_us: int) -> tuple[str, ...]:
    """Channels, a line each."""
    return _numbered(craft.physical.channels_us)


def pads(craft: "Aircraft", now_us: int) -> tuple[str, ...]:
    """Outputs, a line each."""
    return _numbered(craft.pulses_us(now_us))


def push(craft: "Aircraft", value: str, now_us: int) -> None:
    """`+PUSH=<output>,<counts>,<tenths of a second>`. Raises `RefusalError`."""
    output, counts, tenths = _numbers(value, 3)
    pulse_us = counts / _COUNTS_PER_US
    craft.drives.drive(output, pulse_us, tenths * _US_PER_TENTH, now_us)


def ease(craft: "Aircraft", value: str, _now_us: int) -> None:
    """`+EASE=<output>`. Raises `RefusalError`."""
    (output,) = _numbers(value, 1)
    craft.drives.release(output)


def whirl(craft: "Aircraft", value: str, now_us: int) -> None:
    """`+WHRL=<1 left, 2 right>,<permille>,<tenths of a second>`. Raises `RefusalError`."""
    motor, permille, tenths = _numbers(value, 3)
    if not 1 <= motor <= len(SIDES):
        msg = f"there are motors 1 to {len(SIDES)}"
        raise RefusalError(msg)
    side = SIDES[motor - 1]
    craft.drives.spin(side, permille / _PERMILLE, tenths * _US_PER_TENTH, now_us)


def _numbers(value: str, count: int) -> list[int]:
    parts = value.split(",")
    if len(parts) != count or not all(p.isascii() and p.isdecimal() for p in parts):
        msg = f"that takes {count} whole numbers"
        raise RefusalError(msg)
    return [int(part[:9]) for part in parts]


def _numbered(pulses_us: tuple[float, ...]) -> tuple[str, ...]:
    pulses = enumerate(pulses_us, start=1)
    return tuple(_row(n, round(pulse * _COUNTS_PER_US)) for n, pulse in pulses)


def _row(*numbers: int) -> str:
    return ",".join(map(str, numbers))


READS: Final = {
    "+LEAN": lean,
    "+FEED": feed,
    "+HEAT": heat,
    "+AGE": age,
    "+STIK": sticks,
    "+PADS": pads,
}
WRITES: Final = {"+PUSH": push, "+EASE": ease, "+WHRL": whirl}

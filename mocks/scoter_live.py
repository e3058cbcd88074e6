"""What the scoter console says of the aircraft in SI units, and what moves outputs.

The grammar is that of SCPI-1999: a MEASure subsystem of our own headers, answers in
radians, seconds, volts and kelvins, lists parted by commas.
"""

import math
from typing import TYPE_CHECKING, Final

from .drives import SIDES
from .quantities import RefusalError
from .scoter_spelling import ScpiError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from .aircraft import Aircraft

_G_M_S2: Final = 9.80665
_KELVIN: Final = 273.15
_US_PER_S: Final = 1_000_000
_MS_PER_S: Final = 1000
_S_PER_MIN: Final = 60


def _attitude(craft: "Aircraft", _now_us: int) -> "Iterable[float]":
    return map(math.radians, craft.physical.attitude_deg)


def _rates(craft: "Aircraft", _now_us: int) -> "Iterable[float]":
    return map(math.radians, craft.physical.rates_deg_s)


def _acceleration(craft: "Aircraft", _now_us: int) -> "Iterable[float]":
    return (pull * _G_M_S2 for pull in craft.physical.pull_g)


def _power(craft: "Aircraft", _now_us: int) -> "Iterable[float]":
    physical = craft.physical
    return (physical[name] for name in ("pack-volts", "rail-volts", "current"))


def _temperature(craft: "Aircraft", _now_us: int) -> "Iterable[float]":
    return (craft.physical["temperature"] + _KELVIN,)


def _channels(craft: "Aircraft", _now_us: int) -> "Iterable[float]":
    return (pulse / _US_PER_S for pulse in craft.physical.channels_us)


def _outputs(craft: "Aircraft", now_us: int) -> "Iterable[float]":
    return (pulse / _US_PER_S for pulse in craft.pulses_us(now_us))


def _speeds(craft: "Aircraft", now_us: int) -> "Iterable[float]":
    speed = craft.drives.speed_rev_min
    return (speed(side, now_us) / _S_PER_MIN for side in SIDES)


def _uptime(craft: "Aircraft", now_us: int) -> "Iterable[float]":
    return (craft.uptime_ms(now_us) / _MS_PER_S,)


MEASURES: "Final[dict[str, Callable[[Aircraft, int], Iterable[float]]]]" = {
    "MEASure:ATTitude?": _attitude,
    "MEASure:RATes?": _rates,
    "MEASure:ACCeleration?": _acceleration,
    "MEASure:POWer?": _power,
    "MEASure:TEMPerature?": _temperature,
    "MEASure:CHANnels?": _channels,
    "MEASure:OUTPuts?": _outputs,
    "MEASure:SPEed?": _speeds,
    "SYSTem:UPTime?": _uptime,
}
"""Queries, and the numbers that each answers with."""


def measured(query: str, craft: "Aircraft", now_us: int) -> str:
    """The answer to a query."""
    return ",".join(f"{value:+.6E}" for value in MEASURES[query](craft, now_us))


def drive(craft: "Aircraft", data: tuple[str, ...], now_us: int) -> None:
    """`OUTPut:DRIVe <output>,<pulse in s>,<time in s>`. Raises `ScpiError`."""
    output, pulse, span = _numbers(data, 3)
    _order(
        lambda: craft.drives.drive(
            int(output), pulse * _US_PER_S, round(span * _US_PER_S), now_us
        )
    )


def release(craft: "Aircraft", data: tuple[str, ...]) -> None:
    """`OUTPut:RELease <output>`. Raises `ScpiError`."""
    (output,) = _numbers(data, 1)
    _order(lambda: craft.drives.release(int(output)))


def spin(craft: "Aircraft", data: tuple[str, ...], now_us: int) -> None:
    """`OUTPut:SPIN LEFT|RIGHt,<fraction>,<time in s>`. Raises `ScpiError`."""
    sides = {"LEFT": "left", "RIGH": "right", "RIGHT": "right"}
    side = sides.get(data[0].upper()) if data else None
    if side is None:
        raise ScpiError(-224 if data else -109)
    power, span = _numbers(data[1:], 2)
    _order(lambda: craft.drives.spin(side, power, round(span * _US_PER_S), now_us))


def _numbers(data: tuple[str, ...], count: int) -> list[float]:
    if len(data) != count:
        raise ScpiError(-109 if len(data) < count else -108)
    try:
        numbers = [float(element) for element in data]
    except ValueError as problem:
        raise ScpiError(-104) from problem
    if not all(map(math.isfinite, numbers)):
        raise ScpiError(-104)
    return numbers


def _order(act: "Callable[[], None]") -> None:
    try:
        act()
    except RefusalError as problem:
        raise ScpiError(-222) from problem

"""What the dunlin console says of the aircraft; it has no words that move outputs.

Whole numbers in tenths of a degree, mg, mV and mA; positive pitch is nose down, and
the weight is given instead of what holds against it.
"""

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable

    from .aircraft import Aircraft

_TENTHS: Final = 10
_MILLI: Final = 1000
_NOTHING: Final = "--"
"""Stands for the volts of a pack that is not there."""
_LEAST_PACK_V: Final = 1.0


def senses(craft: "Aircraft") -> tuple[str, ...]:
    """One line a subject."""
    physical = craft.physical
    roll, pitch, yaw = physical.attitude_deg
    turning = physical.rates_deg_s
    weight = (-pull for pull in physical.pull_g)
    pack_v = physical["pack-volts"]
    pack = _NOTHING if pack_v < _LEAST_PACK_V else f"{pack_v * _MILLI:.0f}"
    supply = _row((physical["rail-volts"], physical["current"]), _MILLI)
    return (
        f"attitude={_row((roll, -pitch, yaw), _TENTHS)}",
        f"turning={_row((turning[0], -turning[1], turning[2]), _TENTHS)}",
        f"weight={_row(weight, _MILLI)}",
        f"supply={pack},{supply}",
        f"inside={physical['temperature']:.1f}",
        f"sticks={_row(physical.channels_us)}",
    )


def _row(values: "Iterable[float]", times: int = 1) -> str:
    return ",".join(f"{value * times:.0f}" for value in values)

"""Quantities with their units: a bare number never crosses a module boundary."""

from typing import Final, NewType

Seconds = NewType("Seconds", float)
"""A duration, or a moment on the injected monotonic clock."""

Baud = NewType("Baud", int)
"""Line speed in bits a second; one byte takes `BITS_A_BYTE` of them."""

BITS_A_BYTE: Final = 10
"""Start bit, eight data bits, stop bit (8N1)."""

BAUD_MIN: Final = 300
BAUD_MAX: Final = 4_000_000


def baud(value: int) -> Baud:
    """Check a line speed and give it its unit.

    Raises:
        ValueError: `value` is outside `BAUD_MIN`..`BAUD_MAX`.
    """
    if not BAUD_MIN <= value <= BAUD_MAX:
        msg = f"{value} baud is outside {BAUD_MIN} to {BAUD_MAX}"
        raise ValueError(msg)
    return Baud(value)


def wire_time(count: int, speed: Baud | None) -> Seconds:
    """How long `count` bytes take on the wire; no time at all on an unpaced one."""
    return Seconds(count * BITS_A_BYTE / speed if speed else 0.0)

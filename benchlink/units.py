"""Quantities with their units: a bare number never crosses a module boundary."""

from typing import Final, NewType

Seconds = NewType("Seconds", float)
"""A duration, or a moment on the injected monotonic clock."""

MINUTE_S: Final = 60
"""For telling seconds as minutes and the rest."""

Baud = NewType("Baud", int)
"""Line speed in bits a second; one byte takes `BITS_A_BYTE` of them."""

BITS_A_BYTE: Final = 10
"""Start bit, eight data bits, stop bit (8N1)."""

PulseUs = NewType("PulseUs", float)
"""Length of the pulse on an output, in microseconds."""

PULSE_MIN: Final = PulseUs(400)
PULSE_MAX: Final = PulseUs(2600)
"""Extended range of servos (500 to 2500 us), narrow pulses (centre 760) and some slack."""

Power = NewType("Power", float)
"""What a motor is given, as a fraction of full power."""

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


def pulse_us(value: float) -> PulseUs:
    """Check a pulse and give it its unit.

    Raises:
        ValueError: no servo takes it.
    """
    if not PULSE_MIN <= value <= PULSE_MAX:
        msg = f"{value:g} us is outside {PULSE_MIN:g} to {PULSE_MAX:g}"
        raise ValueError(msg)
    return PulseUs(value)


def power(value: float) -> Power:
    """Check a fraction of full power and give it its unit.

    Raises:
        ValueError: it is no fraction of full power.
    """
    if not 0 <= value <= 1:
        msg = f"{value:g} is no fraction of full power (0 to 1)"
        raise ValueError(msg)
    return Power(value)


def percent(share: Power) -> str:
    """A power as a person reads it: `8 %`."""
    return f"{share * 100:.3g} %"

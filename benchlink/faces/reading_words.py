"""Readings in plain words: left and right, up and down, never a bare sign."""

import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Final

from benchlink.core.readings import MEASURES, NUMBERED, Look, Quantity, Reading
from benchlink.faces.output import Json
from benchlink.units import MINUTE_S

WIDTH: Final = 80
LABEL: Final = 15
"""Columns of what a line is about."""
GLUE: Final = "\u00a0"

ROWS: Final[Mapping[str, tuple[Quantity, ...]]] = {
    "roll": (Quantity.ROLL,),
    "pitch": (Quantity.PITCH,),
    "yaw": (Quantity.YAW,),
    "turning": (Quantity.ROLL_RATE, Quantity.PITCH_RATE, Quantity.YAW_RATE),
    "accelerometer": (
        Quantity.ACCELERATION_FORWARD,
        Quantity.ACCELERATION_RIGHT,
        Quantity.ACCELERATION_DOWN,
    ),
    "pack": (Quantity.PACK_VOLTS,),
    "rail": (Quantity.RAIL_VOLTS,),
    "current": (Quantity.CURRENT,),
    "temperature": (Quantity.TEMPERATURE,),
    "running for": (Quantity.UPTIME,),
    "channels": (Quantity.CHANNEL,),
    "outputs": (Quantity.OUTPUT,),
    "motor speeds": (Quantity.MOTOR_SPEED,),
}
"""The lines, and the quantities that stand in each."""
SIDES: Final[Mapping[Quantity, tuple[str, str]]] = {
    Quantity.ROLL: ("right side down", "left side down"),
    Quantity.PITCH: ("nose up", "nose down"),
    Quantity.YAW: ("nose to the right", "nose to the left"),
    Quantity.ROLL_RATE: ("right side going down", "left side going down"),
    Quantity.PITCH_RATE: ("nose going up", "nose going down"),
    Quantity.YAW_RATE: ("nose going right", "nose going left"),
    Quantity.ACCELERATION_FORWARD: ("forward", "aft"),
    Quantity.ACCELERATION_RIGHT: ("to the right", "to the left"),
    Quantity.ACCELERATION_DOWN: ("down", "up"),
}
"""What a positive and a negative value mean; left and right are the aircraft's own."""
LEVEL: Final[Mapping[Quantity, str]] = {
    Quantity.ROLL_RATE: "not rolling",
    Quantity.PITCH_RATE: "not pitching",
    Quantity.YAW_RATE: "not yawing",
}
"""What no turning at all is called, where three stand in one line."""


def look_lines(look: Look) -> list[str]:
    """All readings, then what is not believed, not measured and not told."""
    lines: list[str] = []
    for label, quantities in ROWS.items():
        found = [r for r in look.readings if r.quantity in quantities]
        if found:
            # A number, its unit and its side stay together on a line.
            told = ", ".join(part.replace(" ", GLUE) for part in _parts(found))
            wrapped = _wrapped(f"{label:<{LABEL}}{told}", " " * LABEL)
            lines += [line.replace(GLUE, " ") for line in wrapped]
    for doubt in look.not_believed:
        told = f"! no trustworthy answer about {_named(doubt.quantities)}"
        lines += _wrapped(f"{told}: {doubt.why}", "  ")
    for words, quantities in (
        ("nothing told now", look.unmeasured),
        ("this console does not tell", look.untold),
    ):
        if quantities:
            lines += _wrapped(f"{words}: {_named(quantities)}", "  ")
    return lines


def amount(reading: Reading) -> str:
    """How much, with its unit, and the side where it has one."""
    quantity = reading.quantity
    if reading.between is None:
        return _amount(quantity, reading.value)
    least, most = reading.between
    return f"NOT STEADY: {_amount(quantity, least)} to {_amount(quantity, most)}"


def look_data(look: Look) -> dict[str, Json]:
    """The same for a program; signs as core/readings has them."""
    return {
        "readings": [
            {
                "quantity": reading.quantity.value,
                "number": reading.number or None,
                "value": None if reading.between else reading.value,
                "between": list(reading.between) if reading.between else None,
                "unit": MEASURES[reading.quantity].unit,
                "words": amount(reading),
            }
            for reading in look.readings
        ],
        "not_believed": [
            {
                "asked": doubt.asked,
                "quantities": [quantity.value for quantity in doubt.quantities],
                "why": doubt.why,
            }
            for doubt in look.not_believed
        ],
        "not_measured": [quantity.value for quantity in look.unmeasured],
        "not_told": [quantity.value for quantity in look.untold],
    }


def _parts(readings: Sequence[Reading]) -> Iterator[str]:
    silent = [r for r in readings if _is_silent(r)]
    for reading in readings:
        if reading not in silent:
            which = f"{reading.number}: " if reading.quantity in NUMBERED else ""
            yield which + amount(reading)
    if silent:
        none = len(silent) == len(readings)
        yield f"no pulse on {f'any of {len(silent)}' if none else 'the others'}"


def _is_silent(reading: Reading) -> bool:
    """An output without a pulse: a board counts them all, and most carry nothing."""
    is_output = reading.quantity is Quantity.OUTPUT
    return is_output and reading.between is None and not reading.value


def _amount(quantity: Quantity, value: float) -> str:
    measure = MEASURES[quantity]
    if quantity is Quantity.UPTIME:
        return _time(value)
    number = f"{abs(value):.{measure.places}f}"
    is_zero = not float(number)
    sides = SIDES.get(quantity)
    if sides is None:
        sign = "-" if value < 0 and not is_zero else ""
        return f"{sign}{number} {measure.unit}"
    told = f"{number} {measure.unit}"
    if is_zero:
        return LEVEL.get(quantity, told)
    return f"{told} {sides[0] if value > 0 else sides[1]}"


def _time(seconds: float) -> str:
    if seconds < MINUTE_S:
        return f"{seconds:.1f} s"
    minutes, rest = divmod(int(seconds), MINUTE_S)
    hours, minutes = divmod(minutes, MINUTE_S)
    return f"{hours} h {minutes} min" if hours else f"{minutes} min {rest} s"


def _named(quantities: Iterable[Quantity]) -> str:
    """The lines that would have told them, each once."""
    asked = set(quantities)
    return ", ".join(
        label if asked >= set(row) else ", ".join(q.value for q in row if q in asked)
        for label, row in ROWS.items()
        if asked & set(row)
    )


def _wrapped(line: str, indent: str) -> list[str]:
    return textwrap.wrap(line, WIDTH, subsequent_indent=indent)

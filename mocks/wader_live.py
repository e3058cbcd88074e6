"""What the wader console says of the aircraft, and its words that move outputs."""

import re
from typing import TYPE_CHECKING, Final

from .physical import AXES
from .quantities import RefusalError

if TYPE_CHECKING:
    from .aircraft import Aircraft

SWING: Final = re.compile(r"p([0-9]{1,2}) to ([0-9]{1,5}) for ([0-9]{1,5})")
SLACK: Final = re.compile(r"p([0-9]{1,2})")
WHIRL: Final = re.compile(r"(left|right) at ([0-9]{1,3}(?:\.[0-9])?) for ([0-9]{1,5})")
_AHEAD: Final = ("forward", "right", "down")
_US_PER_MS: Final = 1000
_PERCENT: Final = 100


def feel(craft: "Aircraft", now_us: int) -> tuple[str, ...]:
    """All sensors, a line each."""
    physical = craft.physical
    rates = physical.rates_deg_s
    values = {
        **{f"{a}_deg": v for a, v in zip(AXES, physical.attitude_deg, strict=True)},
        **{f"{a}_g": v for a, v in zip(_AHEAD, physical.pull_g, strict=True)},
        **{f"{a}_deg_s": v for a, v in zip(AXES, rates, strict=True)},
        "pack_v": physical["pack-volts"],
        "rail_v": physical["rail-volts"],
        "drawn_a": physical["current"],
        "inside_c": physical["temperature"],
        "left_rev_min": craft.drives.speed_rev_min("left", now_us),
        "right_rev_min": craft.drives.speed_rev_min("right", now_us),
    }
    return tuple(f"{name:<14}{value:.2f}" for name, value in values.items())


def hear(craft: "Aircraft", now_us: int) -> tuple[str, ...]:
    """What the radio sends and what the outputs give, in us."""
    channels = enumerate(craft.physical.channels_us, start=1)
    outputs = enumerate(craft.pulses_us(now_us), start=1)
    return (
        *(f"ch{number:<4}{pulse:.0f}" for number, pulse in channels),
        *(f"p{number:<5}{pulse:.0f}" for number, pulse in outputs),
    )


def swing(craft: "Aircraft", rest: str, now_us: int) -> None:
    """Drive a pad to a pulse for a time. Raises `RefusalError`."""
    pad, pulse_us, span_ms = map(int, _parts(SWING, rest))
    craft.drives.drive(pad, pulse_us, span_ms * _US_PER_MS, now_us)


def slack(craft: "Aircraft", rest: str) -> None:
    """No pulse on a pad. Raises `RefusalError`."""
    (pad,) = map(int, _parts(SLACK, rest))
    craft.drives.release(pad)


def whirl(craft: "Aircraft", rest: str, now_us: int) -> None:
    """Spin a motor at a percentage for a time. Raises `RefusalError`."""
    side, percent, span_ms = _parts(WHIRL, rest)
    for_us = int(span_ms) * _US_PER_MS
    craft.drives.spin(side, float(percent) / _PERCENT, for_us, now_us)


def _parts(form: re.Pattern[str], rest: str) -> tuple[str, ...]:
    said = form.fullmatch(rest)
    if said is None:
        msg = f"'{rest}' says nothing to me"
        raise RefusalError(msg)
    return said.groups()

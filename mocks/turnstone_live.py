"""What the turnstone console says of the aircraft, and its words that move outputs."""

import re
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from .aircraft import Aircraft

SEND: Final = r"send (nothing|([0-9]{1,5}) us) to p([0-9]{1,2})( for ([0-9]{1,5}) ms)?"
TURN: Final = (
    r"turn (left|right) at ([0-9]{1,4}) permille for ([0-9]{1,2}(?:\.[0-9]{1,2})?) s"
)
_US_PER_MS: Final = 1000
_US_PER_S: Final = 1_000_000
_UNTIL_TOLD_MS: Final = 500
"""A pulse without a time of its own ends after so long."""
_PERMILLE: Final = 1000


def sense(craft: "Aircraft", now_us: int) -> list[str]:
    """The aircraft in sentences: the side is a word, the number has no sign."""
    roll, pitch, yaw = craft.physical.attitude_deg
    physical = craft.physical
    pack_v, rail_v = physical["pack-volts"], physical["rail-volts"]
    drawn_ma = physical["current"] * 1000
    sticks = " ".join(f"{pulse:.0f}" for pulse in physical.channels_us)
    return [
        f"leaning {'right' if roll >= 0 else 'left'} by {abs(roll):.1f} deg",
        f"nose {'up' if pitch >= 0 else 'down'} by {abs(pitch):.1f} deg",
        f"turned {yaw:.1f} deg to the right",
        f"pack at {pack_v:.2f} V and rail at {rail_v:.2f} V, {drawn_ma:.0f} mA drawn",
        f"{physical['temperature']:.1f} C inside",
        f"sticks {sticks}",
        *(
            f"p{pad} sends {f'{pulse:.0f} us' if pulse else 'nothing'}"
            for pad, pulse in enumerate(craft.pulses_us(now_us), start=1)
        ),
    ]


def send(craft: "Aircraft", said: re.Match[str], now_us: int) -> None:
    """Drive a pad, or let go of it. Raises `RefusalError`."""
    pad = int(said[3])
    if said[2] is None:
        craft.drives.release(pad)
        return
    for_us = int(said[5] or _UNTIL_TOLD_MS) * _US_PER_MS
    craft.drives.drive(pad, int(said[2]), for_us, now_us)


def turn(craft: "Aircraft", said: re.Match[str], now_us: int) -> None:
    """Spin a motor. Raises `RefusalError`."""
    for_us = round(float(said[3]) * _US_PER_S)
    craft.drives.spin(said[1], int(said[2]) / _PERMILLE, for_us, now_us)

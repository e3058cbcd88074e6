"""The tables that make a board's list long: curves, mixed channels, log fields."""

from itertools import count
from typing import TYPE_CHECKING, Final

from .catalogue import DIRECTIONS, fraction, setting
from .quantities import Choice, Row, Switch, Text, Whole, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from .settings import Setting

POINTS: Final = 9
"""Points of a curve, from one end to the other."""
_STICKS: Final = ("roll", "pitch", "yaw", "throttle", "tilt", "switch-a", "switch-b")
_READINGS: Final = ("attitude", "rate", "pulse", "volts", "radio", "level")


def tables() -> "Iterator[Setting]":
    """Rows without end, in the order in which a larger board gets them."""
    for number in count(1):
        yield from _curve(number)
        yield from _channel(number)
        yield from _log_field(number)


def _curve(number: int) -> "Iterator[Setting]":
    at = f"curve.c{number}"
    for point in range(POINTS):
        height = str(round(-100 + 200 * point / (POINTS - 1)))
        yield setting(f"{at}.p{point}_pct", Whole(low=-125, high=125), height)
    yield setting(f"{at}.name", Text(), quoted(f"curve {number}"))
    yield setting(f"{at}.soft", Switch(), "no")


def _channel(number: int) -> "Iterator[Setting]":
    at = f"channel.m{number}"
    source = _STICKS[(number - 1) % len(_STICKS)]
    yield setting(f"{at}.source", Choice(words=_STICKS), source)
    yield setting(f"{at}.share_pct", fraction("-200", "200", "0.5"), "100.0")
    yield setting(f"{at}.offset_us", Whole(low=-500, high=500), "0")
    yield setting(f"{at}.direction", Choice(words=DIRECTIONS), "normal")
    yield setting(f"{at}.ends_us", Row(count=2, low=500, high=2500), "1000,2000")
    yield setting(f"{at}.slow_ms", Whole(low=0, high=9000), "0")


def _log_field(number: int) -> "Iterator[Setting]":
    at = f"log.f{number}"
    reading = _READINGS[(number - 1) % len(_READINGS)]
    yield setting(f"{at}.reading", Choice(words=_READINGS), reading)
    yield setting(f"{at}.every", Whole(low=1, high=100), "1")
    yield setting(f"{at}.on", Switch(), "yes" if number < len(_READINGS) else "no")

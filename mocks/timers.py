"""The timers behind the pads, as the board was laid out; no setting changes them.

    timer A   p1 p2
    timer B   p3 p4
    timer C   p5 p6 p7 p8
    timer D   p9 p10
    timer E   p11 p12   one channel brought out twice: p12 repeats p11

A timer has one frame rate: a pad runs at the highest rate that it, or any pad of its
group with a job, asks for, whatever the others can take.
"""

from collections.abc import Iterable, Mapping
from typing import Final

from .demands import number

PLAIN_HZ: Final = 50.0
TIMERS: Final[Mapping[str, tuple[int, ...]]] = {
    "A": (1, 2),
    "B": (3, 4),
    "C": (5, 6, 7, 8),
    "D": (9, 10),
    "E": (11, 12),
}
REPEATS: Final[Mapping[int, int]] = {12: 11}
"""Pads that carry whatever another pad carries."""
_GROUP: Final = {pad: pads for pads in TIMERS.values() for pad in pads}


def source(pad: int) -> int:
    """The pad whose pulse stands on this one."""
    return REPEATS.get(pad, pad)


def group(pad: int) -> tuple[int, ...]:
    """The pads on the same timer, itself among them."""
    return _GROUP[pad]


def asked_hz(settings: Mapping[str, str], pad: int) -> float:
    """The rate that a pad's own settings ask for; a tilt servo's go with its side."""
    what, _, side = settings.get(f"output.p{pad}.job", "").partition("-")
    name = f"tilt.{side}.rate_hz" if what == "tilt" else f"output.p{pad}.rate_hz"
    return number(settings, name, PLAIN_HZ) or PLAIN_HZ


def rate_hz(settings: Mapping[str, str], pad: int) -> float:
    """The rate at which a pad truly runs."""
    return max(asked_hz(settings, other) for other in _busy(settings, pad))


def _busy(settings: Mapping[str, str], pad: int) -> Iterable[int]:
    """The pad, and those of its group that have a job."""
    idle = ("", "nothing")
    return (
        other
        for other in group(pad)
        if other == pad or settings.get(f"output.p{other}.job", "") not in idle
    )

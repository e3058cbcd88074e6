"""The way from one pulse to another: small hops, and the last move from a stated side.

Longest hop and first touch are the trade's starting values: 20 us at the first touch,
then at most 100 us. Coming from the wrong side, the arm first goes past its place far
enough to take up dead band and play, and then comes back.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from benchlink.core.angles import Side
from benchlink.core.servo_fit import ServoFit
from benchlink.units import PulseUs, Seconds

FIRST_TOUCH_US: Final = 20.0
LONGEST_HOP_US: Final = 100.0
TAKE_UP_US: Final = 10.0
"""Added to dead band and play, so that the last move is a real one."""

UNDER_LOAD: Final = 0.7
"""Share of its printed speed that a servo keeps under load on a weak rail."""

REST_S: Final = 0.1
"""For the arm to stop swinging."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """Pulses that may be sent for now; widened only by the person."""

    low_us: PulseUs
    high_us: PulseUs

    def holds(self, pulse_us: float) -> bool:
        """Whether the pulse may be sent."""
        return self.low_us <= pulse_us <= self.high_us

    def over(self, pulses: tuple[PulseUs, ...]) -> "Window":
        """Just wide enough for these as well."""
        return Window(
            low_us=min(self.low_us, *pulses), high_us=max(self.high_us, *pulses)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Hop:
    """One pulse to send, and how long to wait before the next or before reading."""

    pulse_us: PulseUs
    rest_s: Seconds


Route = tuple[Hop, ...]
"""The pulses to send one after the other; the last one is where to read."""


def take_up_us(fit: ServoFit) -> float:
    """How far a move must go to take up dead band and all the play there may be."""
    play_deg = max(0.0, fit.play.high_deg)
    return fit.part.dead_band_us + play_deg * abs(fit.us_per_deg) + TAKE_UP_US


def detour(fit: ServoFit, start: float | None, goal: float, side: Side) -> float | None:
    """Where to turn round so that the last move comes from `side`; None: go straight.

    The turning point stays within what the servo takes.
    """
    back = take_up_us(fit)
    upward = fit.rising(side)
    turn = goal - back if upward else goal + back
    if start is not None and (start <= turn if upward else start >= turn):
        return None
    part = fit.part
    return round(min(part.longest_us, max(part.shortest_us, turn)))


def route(fit: ServoFit, start: float | None, goal: PulseUs, side: Side) -> Route:
    """From where the output stands (None: it gives no pulse yet) to `goal`."""
    turn = detour(fit, start, goal, side)
    stations = [goal] if turn is None else [PulseUs(float(turn)), goal]
    if start is None:
        return tuple(Hop(pulse_us=p, rest_s=_rest_s(fit, 500.0)) for p in stations)
    hops, at = list[Hop](), start
    for station in stations:
        for pulse in _steps(at, station, first=not fit.readings and not hops):
            hops.append(Hop(pulse_us=pulse, rest_s=_rest_s(fit, abs(pulse - at))))
            at = pulse
    return tuple(hops) or (Hop(pulse_us=goal, rest_s=Seconds(REST_S)),)


def straight(fit: ServoFit, start: float, goal: float) -> Route:
    """One hop without a detour, within what the servo takes."""
    part = fit.part
    pulse = min(part.longest_us, max(part.shortest_us, PulseUs(float(round(goal)))))
    return (Hop(pulse_us=pulse, rest_s=_rest_s(fit, abs(pulse - start))),)


def pulses(way: Route) -> tuple[PulseUs, ...]:
    """All pulses of a route."""
    return tuple(hop.pulse_us for hop in way)


def _steps(start: float, goal: float, *, first: bool) -> Iterator[PulseUs]:
    at, longest = start, FIRST_TOUCH_US if first else LONGEST_HOP_US
    while at != goal:
        ahead = max(-longest, min(longest, goal - at))
        at += ahead
        longest = min(LONGEST_HOP_US, 2 * longest)
        yield PulseUs(float(at))


def settle_s(angle_deg: float, s_per_60_deg: float) -> Seconds:
    """How long a move takes until the arm can be read."""
    return Seconds(abs(angle_deg) / 60 * s_per_60_deg / UNDER_LOAD + REST_S)


def _rest_s(fit: ServoFit, move_us: float) -> Seconds:
    return settle_s(move_us * abs(fit.slope_deg_per_us), fit.part.s_per_60_deg)

"""An arm without noise: straight, with play, on a spline, perhaps with stops."""

from collections.abc import Callable
from dataclasses import dataclass

from benchlink.core import centring, throw
from benchlink.core.angles import Degrees, Way
from benchlink.core.approach import Route, pulses
from benchlink.core.bench_steps import (
    AskAgain,
    Event,
    HornMoved,
    Look,
    Measure,
    MoveHorn,
    Refused,
    Seen,
    Watched,
    Widen,
    Widened,
)
from benchlink.core.centring_state import Centred, Centring
from benchlink.core.throw import Throw
from benchlink.core.throw_ends import Thrown
from benchlink.units import PulseUs

Asked = Look | Measure | AskAgain | MoveHorn | Widen


@dataclass
class PlainArm:
    """Stands exactly where it should, so that every step can be foretold."""

    us_per_deg: float = 10.0
    """Negative: a longer pulse tilts aft."""
    seat_deg: float = 0.0
    play_deg: float = 0.0
    solid_deg: float = 90.0
    """Nothing gets further than this, either way."""
    powered: bool = True
    now_deg: float = 0.0
    pulse_us: float = 1500.0

    def send(self, way: Route) -> None:
        """Follow the pulses."""
        for pulse in pulses(way):
            gear = self.gear(pulse)
            half = self.play_deg / 2
            dragged = min(gear + half, max(gear - half, self.now_deg))
            self.now_deg = min(self.solid_deg, max(-self.solid_deg, dragged))
            self.pulse_us = pulse

    def gear(self, pulse: float) -> float:
        """Where the gears stand."""
        return (pulse - 1500) / self.us_per_deg + self.seat_deg

    @property
    def hums(self) -> bool:
        """Whether it pushes."""
        return abs(self.gear(self.pulse_us)) > self.solid_deg + 2

    def answer(self, action: Asked) -> Event:
        """What a careful person answers."""
        match action:
            case Measure(route=route):
                self.send(route)
                return Seen(angle_deg=Degrees(self.now_deg), buzzes=self.hums)
            case AskAgain():
                return Seen(angle_deg=Degrees(self.now_deg), buzzes=self.hums)
            case Look(ready=ready, route=route):
                self.send(ready)
                before = self.now_deg
                self.send(route)
                moved = self.now_deg - before if self.powered else 0.0
                if abs(moved) < 1:
                    return Watched(way=None)
                return Watched(way=Way.FORWARD if moved > 0 else Way.AFT)
            case MoveHorn(move=move):
                self.seat_deg += move.by_deg
                return HornMoved()
            case Widen():
                return Widened()


def us(*pulses_us: float) -> tuple[PulseUs, ...]:
    """Pulses with their unit."""
    return tuple(PulseUs(float(pulse)) for pulse in pulses_us)


Answer = Callable[[Asked], Event]


def centre(state: Centring, answer: Answer) -> tuple[Centring, list[Asked]]:
    """To the end, and all that was asked on the way."""
    asked = list[Asked]()
    while not isinstance(state.action, Centred | Refused):
        asked.append(state.action)
        state = centring.advance(state, answer(state.action))
    return state, asked


def throw_it(state: Throw, answer: Answer) -> tuple[Throw, list[Asked]]:
    """To the end, and all that was asked on the way."""
    asked = list[Asked]()
    while not isinstance(state.action, Thrown | Refused):
        asked.append(state.action)
        state = throw.advance(state, answer(state.action))
    return state, asked


def measures(asked: list[Asked]) -> list[Measure]:
    """The readings among what was asked."""
    return [action for action in asked if isinstance(action, Measure)]

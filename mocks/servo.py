"""One tilt servo with its horn and arm: where the arm stands, at any time.

Angles are degrees of the arm, positive towards the nose; 0 is upright. Between two
changes everything moves at one speed, so a place is worked out, never stepped to.
"""

import math
from dataclasses import dataclass
from enum import Enum
from typing import Final, final

from .excursion import Excursion

MIDDLE_US: Final = 1500.0
GAP_US: Final = 500
"""Low time before the next pulse without which a servo sees no edge."""
_US_PER_S: Final = 1_000_000
_FALLS_DEG_S: Final = 150.0
_STICKS_DEG: Final = 15.0
"""An arm that leans less than this does not fall: its gears hold it."""
_FLOPS_DEG: Final = 4.0
"""An arm that leans more than this rests on one side of its play."""
_SHARES: Final = {"moving": 0.35, "stalled": 1.0}
"""Current of what it draws when it is held fast; else none worth telling."""
_BURNING_SHARE: Final = 0.3
"""Current of a servo that gets more frames a second than it can take."""


class Doing(Enum):
    """What a servo is doing."""

    DEAD = "dead"
    """No volts on its rail."""
    LIMP = "limp"
    """Volts, but no pulse."""
    FALLING = "falling"
    HOLDING = "holding"
    """No pulse any more; it stays where the last one put it."""
    STILL = "still"
    MOVING = "moving"
    STALLED = "stalled"
    """It is told to go past a stop."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Make:
    """What a servo and its arm are like."""

    slope_deg_us: float = 0.1
    reversed: bool = False
    """A longer pulse moves the arm aft."""
    offset_deg: float = 0.0
    """Arm at 1500 us, with the horn on the best tooth."""
    teeth: int = 25
    play_deg: float = 0.0
    dead_us: float = 0.0
    """A change of the pulse that is not above this does nothing."""
    slew_deg_s: float = 350.0
    stop_aft_deg: float = 52.0
    stop_fore_deg: float = 52.0
    stall_a: float = 2.0
    most_rate_hz: float = 333.0
    limp: bool = True
    """Without a pulse it goes limp; else it holds the last place."""


@final
class Servo:
    """A servo, its horn and its arm. Times are integer microseconds."""

    def __init__(self, make: Make) -> None:
        self.make = make
        self.tooth = 0
        """Where the horn sits: teeth towards the nose, from the best one."""
        self.doing = Doing.DEAD
        self.pulse_us = 0.0
        self.rate_hz = 50.0
        self.excursion = Excursion()
        """How far it moved since somebody looked."""
        self._shaft_deg = 0.0
        self._goal_deg = 0.0
        self._speed_deg_s = 0.0
        self._told_us = 0.0
        self._now_us = 0
        self._side = 0.0
        self._start = Doing.DEAD

    @property
    def seat_deg(self) -> float:
        """Angle of the arm when the shaft stands in its middle."""
        return self.make.offset_deg + self.tooth * 360 / self.make.teeth

    @property
    def amps(self) -> float:
        """What it draws from its rail."""
        share = _SHARES.get(self.doing.value, 0.0)
        if share < _BURNING_SHARE and self.overdriven:
            share = _BURNING_SHARE
        return share * self.make.stall_a

    @property
    def overdriven(self) -> bool:
        """It gets more frames a second than it can take, and warms up."""
        powered = self.doing is not Doing.DEAD and self.doing is not Doing.FALLING
        return powered and self.pulse_us > 0 and self.rate_hz > self.make.most_rate_hz

    @property
    def due_us(self) -> int | None:
        """When it arrives where it is going; None: it stands."""
        way_deg = abs(self._goal_deg - self._shaft_deg)
        if not way_deg or not self._speed_deg_s:
            return None
        return self._now_us + max(1, math.ceil(way_deg / self._speed_deg_s * _US_PER_S))

    def angle_deg(self, pitch_deg: float = 0.0, preload: float = 0.0) -> float:
        """Where the arm stands.

        Args:
            pitch_deg: Nose up, of the aircraft.
            preload: Above 0 it is pressed lightly forward, below 0 aft.
        """
        middle_deg = self._shaft_deg + self.seat_deg
        side = preload or self._rests_on(middle_deg - pitch_deg)
        play_deg = math.copysign(self.make.play_deg / 2, side) if side else 0.0
        return self._inside(middle_deg + play_deg)

    def settle(self, now_us: int) -> None:
        """Let it move up to this time."""
        due_us = self.due_us
        if due_us is not None:
            if due_us <= now_us:
                self._arrive()
            else:
                way_deg = self._speed_deg_s * (now_us - self._now_us) / _US_PER_S
                self._shaft_deg += math.copysign(
                    way_deg, self._goal_deg - self._shaft_deg
                )
            self.excursion.reach(self._shaft_deg + self.seat_deg)
        self._now_us = now_us

    def aim(
        self, pulse_us: float, rate_hz: float, *, powered: bool, pitch_deg: float
    ) -> None:
        """Take what stands on its three wires from now on."""
        self.pulse_us, self.rate_hz = pulse_us, rate_hz
        seen = pulse_us > 0 and _US_PER_S / rate_hz - pulse_us >= GAP_US
        if powered and seen:
            self._follow(pulse_us)
        elif powered and not self.make.limp and self._told_us:
            self.doing, self._goal_deg = Doing.HOLDING, self._shaft_deg
        else:
            self._told_us = 0.0
            self._fall(pitch_deg, Doing.LIMP if powered else Doing.DEAD)

    def remake(self, make: Make) -> None:
        """Put another servo in, or another arm on."""
        self.make = make
        self._told_us = 0.0
        self._bend()

    def seat(self, teeth: int) -> None:
        """Put the horn on again, so many teeth nearer to the nose."""
        self.tooth += teeth
        self._told_us = 0.0
        self._bend()

    def look(self) -> Excursion:
        """How far it moved since this was last asked."""
        seen = self.excursion
        self.excursion = Excursion(self._shaft_deg + self.seat_deg)
        return seen

    def _follow(self, pulse_us: float) -> None:
        near = self._told_us and abs(pulse_us - self._told_us) <= self.make.dead_us
        if near and self.doing is not Doing.HOLDING:
            return
        self._told_us = pulse_us
        wanted_deg = (pulse_us - MIDDLE_US) * self.make.slope_deg_us
        wanted_deg = -wanted_deg if self.make.reversed else wanted_deg
        arm_deg = wanted_deg + self.seat_deg
        self._goal_deg = self._inside(arm_deg) - self.seat_deg
        self._speed_deg_s = self.make.slew_deg_s
        short_deg = abs(self._inside(arm_deg) - arm_deg)
        past = short_deg > self.make.dead_us * self.make.slope_deg_us
        self._start = Doing.STALLED if past else Doing.STILL
        way_deg = self._goal_deg - self._shaft_deg
        self.doing = Doing.MOVING if way_deg else self._start
        # gears that push forward leave the arm behind, on the aft side of the play
        self._side = -math.copysign(1.0, way_deg) if way_deg else self._side

    def _fall(self, pitch_deg: float, rest: Doing) -> None:
        lean_deg = self._shaft_deg + self.seat_deg - pitch_deg
        self._start = rest
        self._goal_deg = self._shaft_deg
        if abs(lean_deg) > _STICKS_DEG:
            stop_deg = self._inside(math.copysign(math.inf, lean_deg))
            self._goal_deg = stop_deg - self.seat_deg
            self._speed_deg_s = _FALLS_DEG_S
        falls = self._goal_deg != self._shaft_deg
        self.doing = Doing.FALLING if falls else rest

    def _arrive(self) -> None:
        self._shaft_deg = self._goal_deg
        self.doing = self._start

    def _rests_on(self, lean_deg: float) -> float:
        return lean_deg if abs(lean_deg) > _FLOPS_DEG else self._side

    def _inside(self, arm_deg: float) -> float:
        return max(-self.make.stop_aft_deg, min(self.make.stop_fore_deg, arm_deg))

    def _bend(self) -> None:
        """The arm was put elsewhere by hand: it stays between its stops."""
        arm_deg = self._inside(self._shaft_deg + self.seat_deg)
        self._shaft_deg = self._goal_deg = arm_deg - self.seat_deg
        self.excursion = Excursion(arm_deg)

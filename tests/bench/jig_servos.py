"""Simulated tilt servos on a jig, written without a line of the product.

Pulses in us, angles in deg with forward positive, time in s. A servo turns its gears
until the error is inside the dead band, no faster than its slew; the arm is dragged
along with play and stops at the airframe; the person reads with noise.
"""

import math
from dataclasses import dataclass
from random import Random

READER_SD = 0.25
KINDS = ((9.0, 1000, 2000), (10.0, 1000, 2000), (11.1, 900, 2100), (13.3, 800, 2200))
"""Printed slope in us/deg and the range of pulses."""
SLOPE_SHARE = 0.08
UNKNOWN_SLOPES = (8.6, 13.3)
NARROW = 0.03
"""Share of servos whose range is too small for the throw, or may be."""
LOW_STOP = 0.02
"""Share of arms with a stop inside or near the throw."""
BADLY_SEATED = 0.15
WRONG_SHEET = 0.03
NO_SHEET = 0.2
UNSEEN_BELOW = 1.5
HEARD_ABOVE = 2.0
ROOM = 12.0
"""What a person sees moving, how far past a stop a servo hums,
and the room that an arm needs to be fitted and nudged."""


@dataclass(frozen=True)
class Sheet:
    """What the person knows of the servo."""

    us_per_deg: float | None
    shortest: int
    longest: int
    dead_band: float
    teeth: int
    arms: int
    seconds_per_60: float
    longer_is_forward: bool | None
    forward_stop: float | None
    aft_stop: float | None


class JigServo:
    """One servo on its arm."""

    worst_push = 0.0
    pushing = 0.0
    read_while_moving = 0
    _moving = False

    def __init__(self, rng: Random) -> None:
        self._rng = rng
        known = rng.random() < 0.7
        printed, low, high = rng.choice(KINDS)
        if known:
            real = printed * (1 + rng.gauss(0, SLOPE_SHARE))
        else:
            real = rng.uniform(*UNKNOWN_SLOPES)
            low, high = 750, 2250
        if rng.random() < NARROW:
            low, high = 1150, 1850
        self.shortest, self.longest = low, high
        self.forward = rng.random() < 0.5
        sign = 1 if self.forward else -1
        self.slope = sign / real
        self.bend = rng.gauss(0, 5e-6)
        self.play = abs(rng.gauss(0.6, 0.4))
        self.dead_band = rng.uniform(1, 10)
        self.speed = 60 / rng.uniform(0.08, 0.24) * rng.uniform(0.75, 1)
        self.teeth, self.arms = rng.choice((21, 23, 24, 25)), rng.choice((1, 1, 2))
        self.step = 360 / math.lcm(self.teeth, self.arms)
        self.seat = rng.uniform(-0.5, 0.5) * self.step + rng.gauss(0, 0.3)
        lowest = 30 if rng.random() < LOW_STOP else 38.5
        self.stops = (-rng.uniform(lowest, 60), rng.uniform(lowest, 60))
        self.badly_seated = rng.random() < BADLY_SEATED
        if self.badly_seated:
            self.move_horn(rng.choice((-2, -1, 1, 2)) * 360 / self.teeth)
        self._gear = self._arm = rng.uniform(-10, 10)
        self.sheet = self._sheet(printed if known else None)

    def _sheet(self, printed: float | None) -> Sheet:
        rng = self._rng
        told: bool | None = self.forward
        if rng.random() < NO_SHEET:
            told = None
        elif rng.random() < WRONG_SHEET:
            told = not self.forward
        measured = rng.random() < 0.5
        return Sheet(
            us_per_deg=printed,
            shortest=self.shortest,
            longest=self.longest,
            dead_band=10.0,
            teeth=self.teeth,
            arms=self.arms,
            seconds_per_60=0.25,
            longer_is_forward=told,
            forward_stop=math.floor(self.stops[1] * 2) / 2 if measured else None,
            aft_stop=math.floor(-self.stops[0] * 2) / 2 if measured else None,
        )

    def aims_at(self, pulse: float) -> float:
        """Where the gears want to be, before the horn's seat."""
        off = pulse - 1500
        return self.slope * off + self.bend * off * off

    def send(self, pulse: float, seconds: float) -> None:
        """Give a pulse for some time."""
        if not self.shortest <= pulse <= self.longest:
            msg = f"{pulse} us was sent to {self.sheet}"
            raise AssertionError(msg)
        half = abs(self.dead_band * self.slope) / 2
        missing = self.aims_at(pulse) - self._gear
        self._moving = False
        if abs(missing) <= half:
            return
        stop_short = half * self._rng.uniform(0.85, 1)
        distance = abs(missing) - stop_short
        self._moving = distance > self.speed * seconds
        distance = min(distance, self.speed * seconds)
        gear = self._gear + math.copysign(distance, missing)
        wanted = gear + self.seat
        lead = self.play / 2
        inside = min(self.stops[1] + lead, max(self.stops[0] - lead, wanted))
        self.worst_push = max(self.worst_push, abs(wanted - inside))
        self.pushing = abs(wanted - inside)
        self._gear = inside - self.seat
        self._arm = min(self._gear + lead, max(self._gear - lead, self._arm))

    @property
    def angle(self) -> float:
        """Where the arm truly stands."""
        return self._arm + self.seat

    def read(self) -> float:
        """What the person reads off the jig."""
        self.read_while_moving += self._moving
        return round(self.angle + self._rng.gauss(0, READER_SD), 1)

    @property
    def hums(self) -> bool:
        """Whether the person hears it push."""
        return self.pushing > HEARD_ABOVE

    def move_horn(self, degrees: float) -> None:
        """Seat the horn elsewhere; nobody can where the airframe is in the way."""
        seat = self.seat + degrees + self._rng.gauss(0, 0.2)
        if self.stops[0] + ROOM < seat < self.stops[1] - ROOM:
            self.seat = seat

    def lost_motion(self) -> float:
        """Play and dead band together, in degrees."""
        return self.play + abs(self.dead_band * self.slope) * 0.925

    def can_be_thrown(self, throw: float) -> bool:
        """Whether some tooth leaves pulses for the centre and for both ends."""
        if min(-self.stops[0], self.stops[1]) < throw + 0.5:
            return False
        seats = (self.seat + k * self.step for k in range(-6, 7))
        return any(self._all_reached(seat, throw) for seat in seats)

    def _all_reached(self, seat: float, throw: float) -> bool:
        lag = self.lost_motion() / 2
        reached = sorted(self.aims_at(p) + seat for p in (self.shortest, self.longest))
        return reached[0] <= -throw - lag and reached[1] >= throw + lag

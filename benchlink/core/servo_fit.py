"""From pulse to angle: what all readings of one servo together tell.

With `d = (pulse - neutral) / 100 us` an arm that came from aft stands at
`angle + slope d + bend d^2`, one that came from forward stands `play` further forward:
play of the gears, dead band of the servo and slack of the linkage act as one lost
motion (reversal value, ISO 230-2). All four are unknowns of a `Belief` that begins
with what the part promises. Nobody may know which way the servo turns: two beliefs
run side by side, one for each way, and the readings decide between them.

The 95 % interval of a pulse is that of the angle there, divided by the local slope.
"""

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

from benchlink.core.angles import Z_95, Degrees, Estimate, Side
from benchlink.core.belief import Belief, Vector
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.units import PulseUs

READER_SD_DEG: Final = 0.25
"""One standard deviation of a person who reads a pointer on a jig."""

REPEAT_SD_DEG: Final = 0.05
"""What two readings differ by even so: written to a tenth, and a servo that does not stop
twice in quite the same place of its dead band."""

ANGLE_SD_DEG: Final = 10.0
"""At neutral, before the first reading: a horn may sit a tooth off."""

TOLD_ODDS: Final = 30.0
"""How far a part sheet is believed on the way of turning; many are built in turned."""

WATCHED_ODDS: Final = 300.0
"""How far a person is believed who just watched the arm."""

GUESS_ODDS: Final = 20.0
"""Odds good enough for small moves near neutral."""

SURE_ODDS: Final = 100.0
"""Odds at which the way of turning counts as known."""

CLOSED_LOG_ODDS: Final = math.log(1000.0)
"""From here on the other way of turning explains nothing any more."""

SPAN_US: Final = 100.0
_ANGLE: Final = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What the jig showed after the arm had come to rest."""

    pulse_us: PulseUs
    rising: bool
    """The last move made the pulse longer; which side that is depends on the servo."""
    angle_deg: Degrees


@dataclass(frozen=True, slots=True, kw_only=True)
class PulseEstimate:
    """Where an angle is believed to be found."""

    pulse_us: float
    half_width_us: float
    """Half of the 95 % interval."""

    @property
    def nearest(self) -> PulseUs:
        """The whole microsecond to send."""
        return PulseUs(float(round(self.pulse_us)))

    def __str__(self) -> str:
        return f"{self.pulse_us:.0f} us, give or take {self.half_width_us:.0f}"


@dataclass(frozen=True, kw_only=True)
class ServoFit:
    """All that is known of one servo on its arm."""

    part: ServoPart
    reader_sd_deg: float
    ways: tuple[Belief, Belief]
    """A longer pulse tilts forward; it tilts aft."""
    log_odds: float
    """Of the first against the second."""
    readings: tuple[Reading, ...] = ()

    @property
    def belief(self) -> Belief:
        """The likelier of the two."""
        return self.ways[0] if self.log_odds >= 0 else self.ways[1]

    @property
    def turns(self) -> Turns:
        """Which way a longer pulse tilts, as far as that is known."""
        if abs(self.log_odds) < math.log(SURE_ODDS):
            return Turns.NOT_KNOWN
        return Turns.FORWARD if self.log_odds > 0 else Turns.AFT

    @property
    def noise_deg(self) -> float:
        """One standard deviation of a reading about the truth."""
        return math.hypot(self.reader_sd_deg, REPEAT_SD_DEG)

    @property
    def turns_guessed(self) -> bool:
        """Whether the way of turning is known well enough for small moves."""
        return abs(self.log_odds) >= math.log(GUESS_ODDS)

    @property
    def slope_deg_per_us(self) -> float:
        """At neutral; negative where a longer pulse tilts aft."""
        return self.belief.mean[1] / SPAN_US

    @property
    def us_per_deg(self) -> float:
        """The slope as the trade writes it, negative on a reversed servo."""
        return 1 / self.slope_deg_per_us

    @cached_property
    def play(self) -> Estimate:
        """Lost motion when the approach turns round."""
        mean, variance = self.belief.expected((0.0, 0.0, 0.0, 1.0))
        return Estimate(mean_deg=Degrees(mean), sd_deg=math.sqrt(variance))

    def rising(self, side: Side) -> bool:
        """Whether an arm that comes from there is driven by a longer pulse."""
        return (side.moving.sign > 0) == (self.slope_deg_per_us > 0)

    def at(self, pulse_us: float, side: Side) -> Estimate:
        """Where the arm truly stands at this pulse."""
        weights = self._weights(self.belief, pulse_us, rising=self.rising(side))
        mean, variance = self.belief.expected(weights)
        return Estimate(mean_deg=Degrees(mean), sd_deg=math.sqrt(variance))

    def reading_at(self, pulse_us: float, side: Side) -> Estimate:
        """What the jig will show there, with the noise of the reader.

        Where the way of turning is open, an estimate wide enough for both.
        """
        share = 1 / (1 + math.exp(-max(-50.0, min(50.0, self.log_odds))))
        (one, var_one), (two, var_two) = self._foretold(
            pulse_us, rising=self.rising(side)
        )
        mean = share * one + (1 - share) * two
        within = share * var_one + (1 - share) * var_two
        between = share * (1 - share) * (one - two) ** 2
        sd = math.sqrt(within + between + self.noise_deg**2)
        return Estimate(mean_deg=Degrees(mean), sd_deg=sd)

    def expects(self, reading: Reading, sds: float, *, either_way: bool) -> bool:
        """Whether a reading is no further off than so many standard deviations.

        Under the likelier way of turning, or under either that is still open.
        """
        both = self._foretold(reading.pulse_us, rising=reading.rising)
        likelier, other = both if self.log_odds >= 0 else (both[1], both[0])
        open_too = either_way and abs(self.log_odds) <= CLOSED_LOG_ODDS
        return any(
            abs(reading.angle_deg - mean) <= sds * math.sqrt(var + self.noise_deg**2)
            for mean, var in ((likelier, other) if open_too else (likelier,))
        )

    def pulse_for(self, angle_deg: float, side: Side) -> PulseEstimate | None:
        """Where to find an angle; None where the bend never gets there.

        The pulse need not be one that the servo takes.
        """
        angle, slope, bend, play = self.belief.mean
        late = play if side is Side.FROM_FORWARD else 0.0
        missing = angle_deg - angle - late
        root = slope**2 + 4 * bend * missing
        if root <= 0:
            return None
        # The root near the straight line, in the form that survives bend = 0.
        distance = 2 * missing / (slope + math.copysign(math.sqrt(root), slope))
        pulse = self.part.neutral_us + distance * SPAN_US
        local = abs(slope + 2 * bend * distance) / SPAN_US
        width = self.at(pulse, side).sd_deg * Z_95 / local
        return PulseEstimate(pulse_us=pulse, half_width_us=width)

    def chance_within(
        self, pulse_us: float, side: Side, angle_deg: float, tolerance_deg: float
    ) -> float:
        """How probable it is that the arm truly stands within a tolerance there."""
        there = self.at(pulse_us, side)
        off, spread = there.mean_deg - angle_deg, max(there.sd_deg, 1e-9) * math.sqrt(2)
        high = math.erf((tolerance_deg - off) / spread)
        return (high - math.erf((-tolerance_deg - off) / spread)) / 2

    def with_reading(self, reading: Reading) -> "ServoFit":
        """Sharpened by one reading."""
        seen, variance = float(reading.angle_deg), self.noise_deg**2
        known = [
            (way, self._weights(way, reading.pulse_us, rising=reading.rising))
            for way in self.ways
        ]
        first, second = (way.log_likelihood(h, seen, variance) for way, h in known)
        one, two = (way.observed(h, seen, variance) for way, h in known)
        return replace(
            self,
            ways=(one, two),
            log_odds=self.log_odds + first - second,
            readings=(*self.readings, reading),
        )

    def watched(self, turns: Turns) -> "ServoFit":
        """After somebody watched which way it tilts."""
        return replace(self, log_odds=self.log_odds + _log_odds(turns, WATCHED_ODDS))

    def with_horn_moved(self, by_deg: float, sd_deg: float) -> "ServoFit":
        """After the horn went to another tooth; slope, bend and play stay."""
        one, two = (way.shifted(_ANGLE, by_deg, sd_deg**2) for way in self.ways)
        return replace(self, ways=(one, two), readings=())

    def standing(self, like: Reading, angle: Estimate, sd_deg: float) -> "ServoFit":
        """Told where the arm stands at the pulse of a reading, beside the reading itself.

        `sd_deg` is added to the doubt of `angle`.
        """
        variance = angle.sd_deg**2 + sd_deg**2
        one, two = (
            way.observed(
                self._weights(way, like.pulse_us, rising=like.rising),
                angle.mean_deg,
                variance,
            )
            for way in self.ways
        )
        return replace(self, ways=(one, two))

    def forgetting(self) -> "ServoFit":
        """Without all readings; only the way of turning stays."""
        fresh = new_fit(self.part, reader_sd_deg=self.reader_sd_deg)
        kept = max(-CLOSED_LOG_ODDS, min(CLOSED_LOG_ODDS, self.log_odds))
        return replace(fresh, log_odds=kept)

    def _foretold(
        self, pulse_us: float, *, rising: bool
    ) -> tuple[tuple[float, float], tuple[float, float]]:
        """Mean and variance of the angle, for each way of turning."""
        one, two = (
            way.expected(self._weights(way, pulse_us, rising=rising))
            for way in self.ways
        )
        return one, two

    def _weights(self, way: Belief, pulse_us: float, *, rising: bool) -> Vector:
        distance = (pulse_us - self.part.neutral_us) / SPAN_US
        to_forward = rising == (way.mean[1] > 0)
        return (1.0, distance, distance**2, 0.0 if to_forward else 1.0)


def new_fit(part: ServoPart, *, reader_sd_deg: float = READER_SD_DEG) -> ServoFit:
    """Before the first reading: what the part promises."""
    slope = SPAN_US / part.us_per_deg
    spread = (
        ANGLE_SD_DEG,
        slope * part.slope_share,
        part.bend_deg,
        part.play_spread_deg,
    )
    one, two = (
        Belief.independent((0.0, way * slope, 0.0, part.play_deg), spread)
        for way in (1, -1)
    )
    return ServoFit(
        part=part,
        reader_sd_deg=reader_sd_deg,
        ways=(one, two),
        log_odds=_log_odds(part.turns, TOLD_ODDS),
    )


def _log_odds(turns: Turns, odds: float) -> float:
    told = math.log(odds)
    return {Turns.FORWARD: told, Turns.AFT: -told, Turns.NOT_KNOWN: 0.0}[turns]

"""What every procedure on one arm shares: its fit, its window and where it stands.

An action that would leave the window is put off until the wider window was agreed to;
a reading that nothing explains is asked again before it is used.
"""

from dataclasses import dataclass, replace
from typing import Final

from benchlink.core.angles import Side, Way
from benchlink.core.approach import Route, Window, pulses, route, straight
from benchlink.core.bench_steps import AskAgain, Measure, Purpose, Seen, Widen
from benchlink.core.reading_words import PLAUSIBLE_DEG, PLAUSIBLE_SDS, unexpected
from benchlink.core.servo_fit import Reading, ServoFit
from benchlink.units import PulseUs

SLACK_US: Final = 20.0
"""Asked for beyond what the next pulses need, so that nobody is asked at each of them."""

BACK_OFF_DEG: Final = 3.0
"""Away from a stop that the servo pushes against (the trade: 2 to 3 deg)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arm:
    """One servo at the bench."""

    fit: ServoFit
    window: Window
    at_us: PulseUs | None = None
    """The pulse that the output gives now; None before the first."""

    def route(self, goal: PulseUs, side: Side) -> Route:
        """The way there from where the output stands."""
        return route(self.fit, self.at_us, goal, side)

    def measure(self, goal: PulseUs, side: Side, purpose: Purpose) -> Measure:
        """Ask for a reading there."""
        return Measure(
            route=self.route(goal, side),
            side=side,
            rising=self.fit.rising(side),
            purpose=purpose,
            expected=self.fit.reading_at(goal, side),
        )

    def backing_off(self, pushing: Way) -> Route:
        """At once, and straight, away from what the arm pushes against."""
        at = self.fit.part.neutral_us if self.at_us is None else self.at_us
        away_us = BACK_OFF_DEG * self.fit.us_per_deg * pushing.sign
        return straight(self.fit, at, at - away_us)

    def after(self, way: Route) -> "Arm":
        """After the pulses were sent."""
        return replace(self, at_us=way[-1].pulse_us) if way else self

    def widening(self, way: Route) -> Widen | None:
        """What to ask before these pulses may be sent; None: nothing."""
        if all(map(self.window.holds, pulses(way))):
            return None
        wider = self.window.over(pulses(way))
        low = PulseUs(wider.low_us - SLACK_US * (wider.low_us < self.window.low_us))
        high = PulseUs(wider.high_us + SLACK_US * (wider.high_us > self.window.high_us))
        part = self.fit.part
        return Widen(
            window=Window(
                low_us=min(wider.low_us, max(part.shortest_us, low)),
                high_us=max(wider.high_us, min(part.longest_us, high)),
            )
        )

    def doubt(
        self, measure: Measure, seen: Seen, *, again: bool = False
    ) -> AskAgain | None:
        """The question about a reading that nothing explains.

        Asked `again`, a servo that turns the other way than it was told to explains it:
        the first time, a slip of the pen is as likely.
        """
        reading = reading_of(measure, seen)
        off_deg = abs(seen.angle_deg - measure.expected.mean_deg)
        if off_deg <= PLAUSIBLE_DEG:
            return None
        if self.fit.expects(reading, PLAUSIBLE_SDS, either_way=again):
            return None
        return AskAgain(
            doubtful=unexpected(seen.angle_deg, measure.expected),
            measure=measure,
            said_deg=seen.angle_deg,
        )


def reading_of(measure: Measure, seen: Seen) -> Reading:
    """What was read where."""
    return Reading(
        pulse_us=measure.pulse_us, rising=measure.rising, angle_deg=seen.angle_deg
    )

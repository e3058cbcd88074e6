"""Centring and throw of simulated servos: readings, truth, intervals, refusals."""

from collections import Counter
from collections.abc import Iterable, Sequence
from math import sqrt
from random import Random
from typing import Final

from tests.bench.effort import Effort
from tests.bench.jig_hand import trimmed_by_hand
from tests.bench.jig_person import THROW_DEG, Angle, Outcome, one_servo
from tests.bench.jig_servos import JigServo
from tests.bench.rows import COUNT, Row, Unit, at_least, at_most, shown
from tests.bench.spread import Spread, spread

TOLERANCE_DEG: Final = 0.5
WITHIN: Final = 99.8
MEDIAN, P99 = 3.0, 6.0
REFUSED: Final = 1.0
COVERED: Final = (94.0, 96.0)
PUSHED_DEG: Final = 0.5
SLIPS: Final = 0.01
HAND_PART: Final = 10
"""Trimming by hand is shown on every tenth servo."""

PERCENT = Unit(digits=2, name="%")


def measure(effort: Effort) -> list[Row]:
    """All servos once, and some again with slips of the pen and by hand."""
    count, rng = effort.repeats(full=10_000, quick=500), effort.random()
    seeds = [rng.getrandbits(48) for _ in range(count)]
    outcomes = [one_servo(seed) for seed in seeds]
    part = seeds[:: HAND_PART if not effort.quick else 1]
    return [
        *_truth(outcomes, quick=effort.quick),
        *_refusals(outcomes),
        *_intervals(outcomes, quick=effort.quick),
        *_manners(outcomes),
        *_slips([one_servo(seed, slips=SLIPS) for seed in part]),
        _by_hand(part),
    ]


def _share(hits: Iterable[bool]) -> float:
    """In percent; of nothing it is no number, which misses every target."""
    counted = Counter(hits)
    return 100 * counted[True] / counted.total() if counted else float("nan")


def _chance(share: float, count: int, *, quick: bool) -> float:
    """What a share, in percent, may be off by chance alone when few were measured."""
    return 3 * sqrt(share * (100 - share) / count) if quick else 0.0


def _readings(angles: Sequence[Angle]) -> Spread:
    return spread([float(angle.readings) for angle in angles])


def _within(angles: Sequence[Angle]) -> float:
    return _share(abs(angle.error_deg) <= TOLERANCE_DEG for angle in angles)


def _truth(outcomes: Sequence[Outcome], *, quick: bool) -> list[Row]:
    angles = [angle for outcome in outcomes for angle in outcome.angles]
    readings, n = _readings(angles), f", n={len(angles)}"
    names = dict.fromkeys(angle.name for angle in angles)
    return [
        at_least(
            "centre and ends within 0.5 deg of truth",
            _within(angles),
            WITHIN - _chance(WITHIN, len(angles), quick=quick),
            PERCENT,
            beside=n,
        ),
        at_most("readings an angle, median", readings.p50, MEDIAN, COUNT),
        at_most(
            "readings an angle, p99",
            readings.p99,
            P99,
            COUNT,
            beside=f", worst {readings.worst:.0f}",
        ),
        *(_one_angle(name, [a for a in angles if a.name == name]) for name in names),
    ]


def _one_angle(name: str, angles: Sequence[Angle]) -> Row:
    readings = _readings(angles)
    mean = sum(angle.readings for angle in angles) / len(angles)
    return shown(
        f"  {name} alone",
        f"{PERCENT.text(_within(angles))}, readings median {readings.p50:.0f}"
        f" mean {mean:.2f} p99 {readings.p99:.0f}, n={len(angles)}",
    )


def _refusals(outcomes: Sequence[Outcome]) -> list[Row]:
    solvable = [outcome for outcome in outcomes if outcome.solvable]
    others = [outcome for outcome in outcomes if not outcome.solvable]
    return [
        at_most(
            "refused where a solution exists",
            _share(bool(outcome.refused) for outcome in solvable),
            REFUSED,
            PERCENT,
            beside=f", n={len(solvable)}",
        ),
        shown(
            "  refused where none exists",
            f"{sum(bool(outcome.refused) for outcome in others)} of {len(others)}",
        ),
    ]


def _intervals(outcomes: Sequence[Outcome], *, quick: bool) -> list[Row]:
    covered = [a.covered for outcome in outcomes for a in outcome.angles]
    accepted = _share(covered)
    foretold = _share(hit for outcome in outcomes for hit in outcome.foretold)
    play = [o.play_covered for o in outcomes if o.play_covered is not None]
    chance = _chance(95, len(covered), quick=quick)
    low, high = COVERED[0] - chance, COVERED[1] + chance
    what = "stated 95 % intervals hold the truth, accepted angles"
    return [
        at_least(what, accepted, low, PERCENT),
        at_most("  the same, not too wide", accepted, high, PERCENT),
        shown("  the next pulse, before it was read", PERCENT.text(foretold)),
        shown("  play", PERCENT.text(_share(play))),
    ]


def _manners(outcomes: Sequence[Outcome]) -> list[Row]:
    told = sum(o.stops_told and o.push_deg > PUSHED_DEG for o in outcomes)
    untold = sum(not o.stops_told and o.push_deg > PUSHED_DEG for o in outcomes)
    return [
        at_most(
            "pushed more than 0.5 deg into a stop that was told, servos in 10,000",
            10_000 * told / len(outcomes),
            1.0,
            COUNT,
            beside=f" (nobody told: {untold})",
        ),
        at_most(
            "read before the arm stood still",
            sum(outcome.read_while_moving for outcome in outcomes),
            0.0,
            COUNT,
        ),
        shown(
            "a servo also takes",
            f"{sum(o.looks for o in outcomes) / len(outcomes):.2f} looks,"
            f" {sum(o.horn_moves for o in outcomes) / len(outcomes):.2f} horn moves,"
            f" {sum(o.asked_again for o in outcomes) / len(outcomes):.4f} doubts,"
            " 2 readings for its play",
        ),
    ]


def _slips(outcomes: Sequence[Outcome]) -> list[Row]:
    angles = [angle for outcome in outcomes for angle in outcome.angles]
    refused = _share(bool(o.refused) for o in outcomes if o.solvable)
    return [
        shown(
            "with 1 % of readings written the wrong way",
            f"{PERCENT.text(_within(angles))} within 0.5 deg, {PERCENT.text(refused)}"
            f" refused, n={len(angles)}",
        )
    ]


def _by_hand(seeds: Sequence[int]) -> Row:
    """Fixed steps from neutral, with a horn seated well and the way of turning known."""
    counts, errors = list[float](), list[float]()
    for seed in seeds:
        servo = JigServo(Random(seed))  # noqa: S311 - a seeded generator is the point
        if servo.badly_seated or not servo.can_be_thrown(THROW_DEG):
            continue
        for wanted in (0.0, THROW_DEG, -THROW_DEG):
            count, error = trimmed_by_hand(servo, wanted, 1500)
            counts.append(float(count))
            errors.append(error)
    within = _share(abs(error) <= TOLERANCE_DEG for error in errors)
    readings = spread(counts)
    return shown(
        "the same by hand in fixed steps of 20 and 5 us",
        f"{PERCENT.text(within)} within 0.5 deg, readings median {readings.p50:.0f}"
        f" p99 {readings.p99:.0f}, n={len(counts)}",
    )

"""The promises about motion: the long walk, struck bursts, a flood of nudges."""

import sys
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from tests.bench.aircraft import BAUD, Aircraft
from tests.bench.effort import Effort, MeasureError
from tests.bench.nudge_flood import LEFT_TO_COME, Flood, flood
from tests.bench.rows import COUNT, SHARE, Row, Unit, at_least, at_most
from tests.faces.running import Workshop
from tests.faces.spinning import lapwing
from tests.faces.striking import BLOWS, BURST_S, LATER_S, Struck, struck
from tests.support.motion_referee import Tally
from tests.support.motion_walk import walk

STEPS: Final = (100_000, 10_000)
TRIES: Final = (50, 5)
KEYS: Final = (5000, 1000)
LEAST_SHARE: Final = 0.2
AT_ONCE: Final = 2
"""Bursts at the same time, each with an aircraft of its own."""
S: Final = Unit(digits=3, name="s")
FEW: Final = 60


def measure(effort: Effort) -> list[Row]:
    """All of them, the longest last."""
    return [*_walked(effort), *_flooded(effort), *_struck(effort)]


def _walked(effort: Effort) -> list[Row]:
    tally = walk(effort.seed, effort.runs or effort.repeats(*STEPS))
    print(*tally.wrong[:20], sep="\n", file=sys.stderr)
    tried = sum(tally.tried.values())
    return [
        at_most(
            f"{tally.steps} steps at the gate, {tried} of them tried motors: orders"
            " without a living confirmation, or otherwise wrong",
            len(tally.wrong),
            0,
            COUNT,
        ),
        *(_share(tally, standing) for standing in ("valid", "expired", "never")),
    ]


def _share(tally: Tally, standing: str) -> Row:
    moved = tally.moved.get(standing, 0)
    return at_least(
        f"  tried while the confirmation was {standing}, share",
        tally.share(standing),
        LEAST_SHARE,
        SHARE,
        beside=f" ({tally.tried.get(standing, 0)}, of which {moved} ran)",
    )


def _flooded(effort: Effort) -> list[Row]:
    count = effort.repeats(*KEYS)
    with Aircraft(baud=BAUD, settings=FEW) as craft:
        told = flood(craft.port, effort.random(), count)
    return [
        at_most(
            f"nudges left to come behind {told.keys} keys in {told.seconds:.1f} s",
            told.after_last_key,
            LEFT_TO_COME,
            COUNT,
            beside=f" ({len(told.pulses_us)} were sent)",
        ),
        at_most("  the last pulse, off by", _off_us(told), 0, COUNT),
        at_most("  lines behind the stop", 0 if told.halted_last else 1, 0, COUNT),
    ]


def _off_us(told: Flood) -> float:
    return abs(told.pulses_us[-1] - told.wanted_us) if told.pulses_us else float("nan")


def _struck(effort: Effort) -> list[Row]:
    tries = effort.repeats(*TRIES)
    work = partial(_tries, tries=tries)
    with ThreadPoolExecutor(AT_ONCE) as pool:
        found = dict(zip(BLOWS, pool.map(work, BLOWS), strict=True))
    everything = [one for ran in found.values() for one in ran]
    return [
        *(_blow(blow, ran) for blow, ran in found.items()),
        at_most(
            "  bursts with props on",
            sum(s.span_with_props for s in everything),
            0,
            COUNT,
        ),
    ]


def _blow(blow: str, ran: list[Struck]) -> Row:
    in_time = sum(one.struck_in_time for one in ran)
    return at_most(
        f"{len(ran)} bursts struck by {blow}: the longest run",
        max(one.ran_s for one in ran),
        BURST_S + LATER_S,
        S,
        beside=f" ({in_time} still ran then)",
    )


def _tries(blow: str, tries: int) -> list[Struck]:
    with TemporaryDirectory(prefix="bench-") as name:
        workshop = Workshop(Path(name))
        with lapwing(workshop, "wader") as craft:
            ran: list[Struck] = []
            refused = 0
            while len(ran) < tries:
                try:
                    ran.append(struck(workshop, craft, blow))
                except AssertionError as trouble:
                    # A busy machine looks too late for the proof, and is refused.
                    refused += 1
                    if refused > tries or "Spin by radio now?" not in str(trouble):
                        msg = f"{blow}: {str(trouble)[-300:]}"
                        raise MeasureError(msg) from trouble
            return ran

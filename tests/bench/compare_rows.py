"""Listing, parsing and comparing 5,000 settings: what the process uses."""

from typing import Final

from tests.bench.aircraft import Aircraft
from tests.bench.at_bench import CONSOLE
from tests.bench.child import BENCHLINK, run
from tests.bench.effort import Effort
from tests.bench.rows import MIB, SECONDS, Row, at_most, shown

SETTINGS: Final = 5000
PROFILE: Final = "lapwing"
MOST_MIB: Final = 64.0
DIFFERS: Final = 1
"""A fresh board never holds what the profile asks for."""


def measure(effort: Effort) -> list[Row]:
    """Over a line without a speed: memory does not depend on it, processor time hardly."""
    with Aircraft(settings=SETTINGS) as craft:
        command = [BENCHLINK, "compare", PROFILE, "--port", craft.port]
        command += ["--console", CONSOLE]
        costs = [run(command, DIFFERS) for _ in range(effort.repeats(full=3, quick=1))]
    cost = min(costs, key=lambda cost: cost.processor_s)
    return [
        at_most(
            "listing, parsing and comparing 5,000 settings, resident",
            max(cost.resident_mib for cost in costs),
            MOST_MIB,
            MIB,
        ),
        shown("  its processor time", SECONDS.text(cost.processor_s)),
    ]

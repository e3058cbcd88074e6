"""Changes under faults on real processes and real ptys, two at a time."""

import sys
from concurrent.futures import ThreadPoolExecutor
from typing import Final

from tests.bench.effort import Effort
from tests.bench.fault_ends import KINDS, Census, End
from tests.bench.fault_real import real
from tests.bench.rows import COUNT, Row, at_most, shown

RUNS: Final = (300, 6)
AT_ONCE: Final = 2
"""Runs at the same time, each of them two processes."""


def measure(effort: Effort) -> list[Row]:
    """So many; failures are told with their whole story."""
    runs = effort.runs or effort.repeats(*RUNS)
    first = effort.seed * 100_000
    census = Census()
    with ThreadPoolExecutor(AT_ONCE) as pool:
        for one in pool.map(real, range(first, first + runs)):
            census.add(one)
    for failure in census.failures:
        head = f"\nseed {failure.seed}, {failure.console}: {failure.why}"
        print(head, *failure.story, sep="\n    ", file=sys.stderr)
    hits = ", ".join(
        f"{name} {census.fired[name]}/{census.hit[name]}" for name in census.fired
    )
    return [
        *(
            at_most(f"{runs} real changes under faults: {k}", census.wrong[k], 0, COUNT)
            for k in KINDS
        ),
        shown("  left unfinished, then right", f"{census.interrupted}"),
        *(
            shown(f"  {end.value}", f"{census.ends[end]}")
            for end in End
            if end is not End.WRONG
        ),
        shown("  faults: fired/hit a write", hits),
    ]

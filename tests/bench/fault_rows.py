"""Changes under faults: how they ended, what the faults did, and nothing wrong."""

import sys
from typing import Final

from mocks.fault_text import KINDS as FAULTS
from tests.bench.effort import Effort
from tests.bench.fault_campaign import campaign, shortest
from tests.bench.fault_ends import KINDS, RIGHT_LATER, Census, End, Ran
from tests.bench.fault_plan import plan_of
from tests.bench.fault_unplug_rows import killed_rows, unplugged_rows
from tests.bench.rows import COUNT, Row, Unit, at_least, at_most, shown

RUNS: Final = (10_000, 200)
SHORTENED: Final = 3
"""Failures that are looked into; the others are told by their seeds."""
ENOUGH: Final = 2000
"""Runs in which each fault comes to pass."""
TOUCHED: Final = 30.0
PERCENT: Final = Unit(digits=1, name="%")


def measure(effort: Effort) -> list[Row]:
    """The campaign, and every byte and every mark of a short change."""
    runs = effort.runs or effort.repeats(*RUNS)
    return [
        *_campaign(campaign(effort.seed, runs)),
        *unplugged_rows(quick=effort.quick),
        *killed_rows(),
    ]


def _campaign(census: Census) -> list[Row]:
    _tell(census.failures)
    runs = census.runs
    touched = 100 * (runs - census.ends[End.UNTOUCHED]) / runs
    later = sum(census.ends[end] for end in RIGHT_LATER)
    rows = [
        at_most(f"{runs} changes under faults: {kind}", census.wrong[kind], 0, COUNT)
        for kind in KINDS
    ]
    return [
        *rows,
        at_least(
            "  interrupted, and right after resume or undo",
            100 * later / max(1, later + sum(census.wrong.values())),
            100.0,
            PERCENT,
            beside=f" of {census.interrupted}",
        ),
        at_least("  ended otherwise than untouched", touched, TOUCHED, PERCENT),
        *(
            shown(f"  {end.value}", f"{census.ends[end]}")
            for end in End
            if end is not End.WRONG
        ),
        shown("  silent until switched off and on", f"{census.cycled}"),
        *(_fault(census, name) for name in FAULTS),
    ]


def _fault(census: Census, name: str) -> Row:
    what = f"  {name}: fired, of these hit a write"
    beside = f", {census.hit[name]} (in {census.runs_with[name]} runs)"
    if census.runs < ENOUGH:
        return shown(what, f"{census.fired[name]}{beside}")
    return at_least(what, census.fired[name], 1, COUNT, beside=beside)


def _tell(failures: list[Ran]) -> None:
    for place, failure in enumerate(failures):
        told = failure
        if place < SHORTENED:
            told = shortest(plan_of(failure.seed), failure.kind)
        head = f"\nseed {told.seed}, {told.console}: {told.kind}: {told.why}"
        print(head, file=sys.stderr)
        if place < SHORTENED:
            print("\n".join(f"    {line}" for line in told.story), file=sys.stderr)

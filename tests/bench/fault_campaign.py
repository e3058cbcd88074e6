"""Many runs under faults on all processors, and the shortest story of what fails."""

import multiprocessing
import os
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from tests.bench.fault_ends import Census, End, Ran
from tests.bench.fault_plan import RunPlan, plan_of
from tests.bench.fault_run import Run

PIECE: Final = 50
"""Runs that a worker takes at a time."""
SHARED_MEMORY: Final = Path("/dev/shm")  # noqa: S108 - folders in it are our own
"""Where files cost no disk; the runs sync each mark of a journal."""


def campaign(seed: int, runs: int) -> Census:
    """So many runs with seeds of their own."""
    first = seed * 1_000_000
    pieces = [range(at, min(at + PIECE, first + runs)) for at in _starts(first, runs)]
    census = Census()
    # A fresh interpreter each: a fork would take along whatever threads there are.
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(os.cpu_count(), mp_context=context) as pool:
        for piece in pool.map(counted, pieces):
            census.merge(piece)
    return census


def _starts(first: int, runs: int) -> Iterable[int]:
    return range(first, first + runs, PIECE)


def counted(seeds: Iterable[int]) -> Census:
    """These runs, one after the other."""
    census = Census()
    for seed in seeds:
        census.add(ran(plan_of(seed)))
    return census


def ran(plan: RunPlan) -> Ran:
    """One run, with a folder of its own."""
    where = SHARED_MEMORY if SHARED_MEMORY.is_dir() else None
    with TemporaryDirectory(prefix="bench-", dir=where) as name:
        return Run(plan, Path(name)).outcome()


def bytes_of(plan: RunPlan) -> tuple[int, int]:
    """What a board receives and says in a run."""
    with TemporaryDirectory(prefix="bench-") as name:
        run = Run(plan, Path(name))
        run.outcome()
        return run.desk.device.received, run.desk.device.sent


def shortest(plan: RunPlan, kind: str) -> Ran:
    """The same failure with as little as possible: one thing after the other goes."""
    found = ran(plan)
    smaller = True
    while smaller:
        smaller = False
        for fewer in plan.fewer():
            again = ran(fewer)
            if again.end is End.WRONG and again.kind == kind:
                plan, found, smaller = fewer, again, True
                break
    return found

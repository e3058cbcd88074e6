"""The cable out at every byte of a short change, and a process killed at every mark."""

from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from multiprocessing import get_context
from os import cpu_count
from typing import Final

from mocks.fault import Way
from mocks.fault_events import Path, Unplugged
from tests.bench.fault_campaign import bytes_of, ran
from tests.bench.fault_ends import End, Ran
from tests.bench.fault_paper import When
from tests.bench.fault_plan import Interruption, RunPlan
from tests.bench.rows import COUNT, Row, at_most

SUBJECTS: Final = {"knot": 3, "wader": 0, "turnstone": 1}
EVERY_BYTE: Final = "knot"
"""The one that says least: it is cut at every byte of both ways."""
CHANGES: Final = 2
MARKS: Final = 7
STRIDES: Final = (1, 23)
"""For the others of what the board says only every so manieth byte."""
HURRY: Final = 29
"""In a hurry the strides are so much longer."""


def unplugged_rows(*, quick: bool) -> list[Row]:
    """Both ways; resumed and undone in turn, with and without a power cycle."""
    rows: list[Row] = []
    for name in SUBJECTS:
        for way in Way:
            every = name == EVERY_BYTE or way is Way.RECEIVED
            stride = STRIDES[0 if every else 1] * (HURRY if quick else 1)
            which = "every byte" if stride == 1 else f"every {stride}th byte"
            what = f"cable out at {which}, {name}, {way.value} by the board"
            rows.append(_row(what, list(_unplugged(name, way, stride))))
    return rows


def _unplugged(name: str, way: Way, stride: int) -> Iterator[RunPlan]:
    subject = SUBJECTS[name]
    passed = bytes_of(_plan(0, subject, Interruption()))
    most = passed[0 if way is Way.RECEIVED else 1]
    for at in range(1, most + 1, stride):
        cut = Unplugged(at=at, way=way, path=Path.SAME)
        yield _plan(at, subject, Interruption(faults=(cut,)))


def killed_rows() -> list[Row]:
    """Before, after and within every mark."""
    plans = [
        replace(
            _plan(
                number + 4 * ending,
                subject,
                Interruption(kill_at=number, when=when, within_bytes=9),
            ),
            seed=ending,
        )
        for subject in SUBJECTS.values()
        for number in range(1, MARKS)
        for when in When
        for ending in range(4)
    ]
    return [_row("killed before, within and after every mark", plans)]


def _plan(number: int, subject: int, first: Interruption) -> RunPlan:
    last = Interruption(resumes=number % 2 == 0, power_cycle=number % 4 > 1)
    return RunPlan(
        seed=number,
        subject=subject,
        changes=tuple(range(1, 1 + 7 * CHANGES, 7)),
        interruptions=(first, last),
    )


def _row(what: str, plans: list[RunPlan]) -> Row:
    ends: Counter[End] = Counter()
    first: Ran | None = None
    with ProcessPoolExecutor(cpu_count(), mp_context=get_context("spawn")) as pool:
        for one in pool.map(ran, plans, chunksize=20):
            ends[one.end] += 1
            if one.end is End.WRONG and first is None:
                first = one
    told = ", ".join(f"{count} {end.value}" for end, count in ends.most_common())
    wrong = f" (first: {first.seed} {first.why})" if first else ""
    return at_most(
        f"{what}: wrong of {len(plans)}",
        ends[End.WRONG],
        0,
        COUNT,
        beside=f" ({told}){wrong}",
    )

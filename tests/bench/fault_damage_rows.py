"""One damaged byte in a thousand: a change finishes or is refused, and what it costs."""

from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Final

from mocks.fault import Fault, Way
from mocks.fault_wire import DoubledByte, FlippedByte, LostByte
from tests.bench.effort import Effort
from tests.bench.fault_ends import End
from tests.bench.fault_plan import MADE_UP, Interruption, RunPlan
from tests.bench.fault_run import Run
from tests.bench.fault_subjects import PACED_BAUD, subject_of
from tests.bench.rows import COUNT, TIMES, Row, at_most, shown

RATE: Final = 0.001 / 3
"""Of each of three kinds of damage."""
RUNS: Final = (20, 2)
SUBJECTS: Final = (0, 1, 3, 4, 5, *MADE_UP[:3])
KINDS: Final = (LostByte, DoubledByte, FlippedByte)
CHANGES: Final = (1, 8, 15)
FINISHED: Final = (End.COMPLETE, End.UNPROVEN)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cost:
    end: End
    why: str
    count: int
    """Bytes both ways."""
    seconds: float


def measure(effort: Effort) -> list[Row]:
    """Each console against itself without damage."""
    return [
        row
        for subject in SUBJECTS
        for row in _rows(subject, effort.repeats(*RUNS), effort.seed)
    ]


def _rows(subject: int, runs: int, seed: int) -> list[Row]:
    clean = _cost(subject, 0, ())
    damaged = [_cost(subject, seed * 1000 + n, _damage(n)) for n in range(runs)]
    ends = Counter(one.end for one in damaged)
    done = [one for one in damaged if one.end in FINISHED]
    told = ", ".join(f"{count} {end.value}" for end, count in ends.most_common())
    wrong = next((f" ({one.why})" for one in damaged if one.why), "")
    name = subject_of(subject).name
    rows = [
        at_most(
            f"one byte in 1,000 damaged, {name}: wrong of {runs}",
            ends[End.WRONG],
            0,
            COUNT,
            beside=f" ({told}){wrong}",
        )
    ]
    if done:
        count = median(one.count for one in done) / clean.count
        took = median(one.seconds for one in done) / clean.seconds
        rows.append(
            shown(
                "  bytes and time of those that finished, against none damaged",
                f"{TIMES.text(count)}, {TIMES.text(took)} ({clean.seconds:.1f} s)",
            )
        )
    return rows


def _damage(number: int) -> tuple[Fault, ...]:
    """Rates that differ by a hair hit other bytes."""
    rate = RATE * (1 + number / 1000)
    return tuple(kind(way=way, rate=rate) for kind in KINDS for way in Way)


def _cost(subject: int, seed: int, faults: tuple[Fault, ...]) -> _Cost:
    # What fails is undone on the healed wire: both ends are told apart by `end`.
    plan = RunPlan(
        seed=seed,
        subject=subject,
        changes=CHANGES,
        interruptions=(Interruption(faults=faults), Interruption()),
        baud=PACED_BAUD,
    )
    with TemporaryDirectory(prefix="bench-") as name:
        run = Run(plan, Path(name))
        ran = run.outcome()
    device = run.desk.device
    return _Cost(
        end=ran.end,
        why=ran.why,
        count=device.received + device.sent,
        seconds=run.desk.now_us / 1e6,
    )

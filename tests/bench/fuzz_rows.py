"""The long fuzz: damaged sessions, damaged jobs, and floods of one kind."""

import json
import subprocess
import sys
from collections import Counter
from dataclasses import dataclass
from random import Random
from typing import Final

from benchlink.console.terminal import LONGEST_LINE
from tests.bench.aircraft import CHECKOUT
from tests.bench.effort import Effort
from tests.bench.fuzz_flooded import Mode
from tests.bench.fuzz_floods import FLOODS
from tests.bench.fuzz_jobs import COMPARED, Jobs
from tests.bench.fuzz_replay import WrongError
from tests.bench.fuzz_runs import Replays
from tests.bench.fuzz_sessions import Subject, subjects
from tests.bench.fuzz_states import PAIRS, STEPS, every_state
from tests.bench.rows import (
    COUNT,
    MIB,
    TIMES,
    Row,
    at_least,
    at_most,
    not_measured,
    shown,
)

RUNS: Final = (6000, 1500)
"""Replays in full and in a hurry, where nobody says how many."""
A_JOB: Final = 15
"""Replays to one job: a job takes longer by so much."""
MADE_UP: Final = 24
FLOOD_BYTES: Final = (80 * LONGEST_LINE, 20 * LONGEST_LINE)
"""10 MB, and less in a hurry; a tenth of it still holds whole longest lines."""
TEN_TIMES: Final = 13.0
"""Ten times the bytes may take this much longer: linear, and some noise."""
FLAT_MIB: Final = 8.0
"""What ten times the bytes may add to the memory where nothing was asked for."""
ANSWERED_MIB: Final = 16.0
"""What it may add where a listing was asked for."""
LONGEST_S: Final = 300.0
"""A megabyte in 30 s is far below what any wire of this kind brings."""


def measure(effort: Effort) -> list[Row]:
    """Everything that is counted, and what of it went wrong."""
    runs = effort.runs or effort.repeats(*RUNS)
    consoles = subjects(MADE_UP)
    return [
        *_replayed(consoles, runs, effort.seed),
        *_jobs(consoles, max(1, runs // A_JOB), effort.seed),
        *_floods(
            effort.repeats(*FLOOD_BYTES), [Mode.ASKED] if effort.quick else list(Mode)
        ),
    ]


def _replayed(consoles: tuple[Subject, ...], runs: int, seed: int) -> list[Row]:
    replays = Replays(consoles, seed)
    replays.run(runs)
    failures, census = replays.failures, replays.census
    for failure in failures:
        print(f"\n{failure}", file=sys.stderr)
    rows = [
        at_most(
            f"{runs} damaged sessions, ways in which they went wrong",
            len(failures),
            0,
            COUNT,
            beside=f" (first: {failures[0].why})" if failures else "",
        )
    ]
    for group, states in every_state().items():
        missing = census.missing(group)
        rows.append(
            at_least(
                f"  {group} reached",
                len(states) - len(missing),
                len(states),
                COUNT,
                beside=f" (not: {', '.join(missing)})" if missing else "",
            )
        )
    return [
        *rows,
        *(
            shown(f"  {group}, different ones", str(census.reached(group)))
            for group in (STEPS, PAIRS)
        ),
    ]


def _jobs(consoles: tuple[Subject, ...], count: int, seed: int) -> list[Row]:
    jobs, wrong = Jobs(), Counter[str]()
    for number in range(count):
        chance = Random(seed * 1_000_003 + number)  # noqa: S311 - seeded
        subject, other = chance.choice(consoles), chance.choice(consoles)
        try:
            jobs.run(chance, subject, other)
        except WrongError as exc:
            wrong[f"job {number}, {subject.name}: {exc}"] += 1
        except Exception as exc:  # noqa: BLE001 - whatever comes out is the finding
            wrong[f"job {number}, {subject.name}: {type(exc).__name__}: {exc}"] += 1
    tally = jobs.tally
    ends = ", ".join(f"{many} {end}" for end, many in tally.ends.most_common())
    return [
        at_most(
            f"{count} jobs over a damaging wire, false values and the like",
            wrong.total(),
            0,
            COUNT,
            beside=f" ({next(iter(wrong))})" if wrong else f" (of {tally.values})",
        ),
        at_most(
            "  backups that name another board than the one that answered",
            tally.misnamed,
            0,
            COUNT,
        ),
        at_least(f"  {COMPARED}", tally.ends[COMPARED], 1, COUNT, beside=f" ({ends})"),
        shown("  backups although something was damaged", str(tally.damaged)),
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Flood:
    """What one flood took."""

    seconds: float
    mib: float


def _floods(most: int, modes: list[Mode]) -> list[Row]:
    return [
        row for kind in FLOODS for mode in modes for row in _flood(kind, mode, most)
    ]


def _flood(kind: str, mode: Mode, most: int) -> list[Row]:
    what = f"{most / 1e6:.1f} MB, {kind}, {mode.value}"
    try:
        tenth, whole = (_flooded(kind, mode, size) for size in (most // 10, most))
    except subprocess.TimeoutExpired:
        return [not_measured(what, f"not done after {LONGEST_S:.0f} s")]
    except subprocess.CalledProcessError as exc:
        words = exc.stderr.strip().splitlines() or ["nothing"]
        return [not_measured(what, f"it ended with {words[-1]}")]
    rows = [
        at_most(
            f"{what}: against a tenth",
            whole.seconds / tenth.seconds,
            TEN_TIMES,
            TIMES,
            beside=f" ({whole.seconds:.1f} s)",
        )
    ]
    grown = whole.mib - tenth.mib
    # What was asked for is kept to be read, up to what one answer may hold.
    most_mib = ANSWERED_MIB if mode is Mode.ASKED else FLAT_MIB
    return [*rows, at_most("  memory that it adds", grown, most_mib, MIB)]


def _flooded(kind: str, mode: Mode, length: int) -> _Flood:
    """In a process of its own: the most that it ever held is its own."""
    done = subprocess.run(
        [
            sys.executable,
            "-m",
            "tests.bench.fuzz_flooded",
            kind,
            str(length),
            mode.name,
        ],
        cwd=CHECKOUT,
        capture_output=True,
        check=True,
        text=True,
        timeout=LONGEST_S,
    )
    told: dict[str, float] = json.loads(done.stdout)
    return _Flood(seconds=told["s"], mib=told["mib"])

"""First paint of the full screen beside an empty one of the same toolkit."""

import os
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from typing import Final

from benchlink.faces.screen.frame.keys import OPENING_KEYS, foot
from tests.bench.child import BENCHLINK
from tests.bench.effort import Effort
from tests.bench.rows import MS, TIMES, Row, at_most, shown
from tests.bench.terminal import Terminal

MARKS: Final = (
    b"Which board?",
    b"rehearse on a simulated aircraft",
    foot(OPENING_KEYS).encode(),
)
"""The heading of the first page, the last line of the list below it, and its keys."""
EMPTY_MARK: Final = b"blank"
MOST_TIMES: Final = 1.3
LONGEST_S: Final = 10.0
MS_A_SECOND: Final = 1000
MS_A_TICK: Final = MS_A_SECOND / os.sysconf("SC_CLK_TCK")
USER, SYSTEM = 11, 12
"""Where the two stand in /proc/PID/stat, counted from behind the program's name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Painted:
    """One start, up to the frame that has all of its marks."""

    wall_ms: float
    processor_ms: float
    """Of all threads, in ticks of the system: coarse, but the same beside busy neighbours."""


def measure(effort: Effort) -> list[Row]:
    """In turns; from the start of the process until list and keys are drawn."""
    ours: list[Painted] = []
    empty: list[Painted] = []
    empty_screen = [sys.executable, "-m", "tests.bench.empty_screen"]
    for number in range(-1, effort.repeats(full=25, quick=3)):
        blank = _painted(empty_screen, (EMPTY_MARK,))
        first = _painted([BENCHLINK], MARKS)
        if number >= 0:
            empty.append(blank)
            ours.append(first)
    ours_ms, empty_ms = (median(p.wall_ms for p in some) for some in (ours, empty))
    ours_cpu, empty_cpu = (
        median(p.processor_ms for p in some) for some in (ours, empty)
    )
    return [
        at_most(
            "first paint of the full screen, list and keys, times an empty one (medians)",
            ours_ms / empty_ms,
            MOST_TIMES,
            TIMES,
            beside=f" ({MS.text(ours_ms)}, n={len(ours)})",
        ),
        shown("  beside it: an empty screen of the same toolkit", MS.text(empty_ms)),
        shown("  the same in processor time", TIMES.text(ours_cpu / empty_cpu)),
    ]


def _painted(command: Sequence[str], marks: Sequence[bytes]) -> Painted:
    with Terminal(command) as terminal:
        wall_s = max(terminal.seconds_until(mark, LONGEST_S) for mark in marks)
        return Painted(
            wall_ms=wall_s * MS_A_SECOND,
            processor_ms=_processor_ms(terminal.process.pid),
        )


def _processor_ms(pid: int) -> float:
    told = Path(f"/proc/{pid}/stat").read_text(encoding="ascii", errors="replace")
    fields = told.rpartition(")")[2].split()
    return sum(int(fields[at]) for at in (USER, SYSTEM)) * MS_A_TICK

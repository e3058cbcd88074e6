"""First paint of the full screen beside an empty one of the same toolkit."""

import sys
from collections.abc import Sequence
from statistics import median
from typing import Final

from tests.bench.child import BENCHLINK
from tests.bench.effort import Effort
from tests.bench.rows import MS, TIMES, Row, at_most, shown
from tests.bench.terminal import Terminal

MARK: Final = b"Which board?"
LIST_MARK: Final = b"rehearse on a simulated aircraft"
"""The heading of the first page, and the last line of the list below it."""
EMPTY_MARK: Final = b"blank"
MOST_TIMES: Final = 1.3
LONGEST_S: Final = 10.0
MS_A_SECOND: Final = 1000


def measure(effort: Effort) -> list[Row]:
    """In turns; from the start of the process until its own words are drawn."""
    ours: list[float] = []
    listed: list[float] = []
    empty: list[float] = []
    empty_screen = [sys.executable, "-m", "tests.bench.empty_screen"]
    for number in range(-1, effort.repeats(full=15, quick=3)):
        (empty_ms,) = _painted_ms(empty_screen, EMPTY_MARK)
        ours_ms, listed_ms = _painted_ms([BENCHLINK], MARK, LIST_MARK)
        if number >= 0:
            empty.append(empty_ms)
            ours.append(ours_ms)
            listed.append(listed_ms)
    return [
        at_most(
            "first paint of the full screen, times an empty one (medians)",
            median(ours) / median(empty),
            MOST_TIMES,
            TIMES,
            beside=f" ({MS.text(median(ours))}, n={len(ours)})",
        ),
        shown("  until the list of ports stands below it", MS.text(median(listed))),
        shown(
            "  beside it: an empty screen of the same toolkit", MS.text(median(empty))
        ),
    ]


def _painted_ms(command: Sequence[str], *marks: bytes) -> list[float]:
    with Terminal(command) as terminal:
        return [terminal.seconds_until(m, LONGEST_S) * MS_A_SECOND for m in marks]

"""One question and its answer over a line without a speed."""

import time
from collections.abc import Callable
from typing import Final

from tests.bench.aircraft import Aircraft
from tests.bench.at_bench import at_bench
from tests.bench.bare_line import BareLine
from tests.bench.effort import Effort
from tests.bench.rows import US, Row, shown
from tests.bench.spread import spread

NAME: Final = "tilt.left.centre_us"
US_A_SECOND: Final = 1_000_000
WARM_UP: Final = 50


def measure(effort: Effort) -> list[Row]:
    """In turns with a bare loop on a second aircraft of the same kind."""
    count = effort.repeats(full=3000, quick=1000)
    ours: list[float] = []
    bare: list[float] = []
    with (
        Aircraft(handling_us=0) as craft,
        Aircraft(handling_us=0) as other,
        at_bench(craft.port) as bench,
        BareLine(other.port) as line,
    ):
        board = bench.session.board
        (command,) = bench.session.grammar.utter("read", {"name": NAME}).commands
        asked = command.line.encode("ascii") + b"\r"
        for number in range(-WARM_UP, count):
            ours_us = _timed(lambda: board.ask([command]))
            bare_us = _timed(lambda: line.ask(asked))
            if number >= 0:
                ours.append(ours_us)
                bare.append(bare_us)
    return [
        shown("one question through the link, no line speed", spread(ours).text(US)),
        shown("  beside it: bare os.write and os.read", spread(bare).text(US)),
    ]


def _timed(act: Callable[[], object]) -> float:
    started = time.monotonic()
    act()
    return (time.monotonic() - started) * US_A_SECOND

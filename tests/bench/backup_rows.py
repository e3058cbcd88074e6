"""A backup of 1,000 settings: the whole verb, with both reads and the file."""

from contextlib import redirect_stdout
from io import StringIO
from statistics import median
from typing import Final

from benchlink.faces.entry import main
from tests.bench.aircraft import BAUD, Aircraft
from tests.bench.at_bench import CONSOLE
from tests.bench.child import BENCHLINK, run
from tests.bench.effort import Effort, MeasureError
from tests.bench.rows import SECONDS, SHARE, Row, at_least, shown
from tests.bench.stop_and_wait import StopAndWait
from tests.bench.stopwatch import stopwatch

SETTINGS: Final = 1000
READS: Final = 2
SHARE_TARGET: Final = 0.98


def measure(effort: Effort) -> list[Row]:
    """Share of the wire, and what the process used."""
    with Aircraft(baud=BAUD, settings=SETTINGS) as craft:
        at_port = ["--port", craft.port, "--console", CONSOLE]
        # Imports everything, and writes down the approved console once, as every
        # user's first verb does.
        _verb(["identify", *at_port])
        repeats = range(effort.repeats(full=5, quick=1))
        shares = [_share(craft, at_port, effort, number) for number in repeats]
        # Nothing is held against these two, so a quick run leaves them out.
        beside = (
            [] if effort.quick else [*_cold(craft, at_port, effort), _simple(craft)]
        )
    return [
        at_least(
            "backup of 1,000 settings, share of the wire (whole verb, median)",
            median(shares),
            SHARE_TARGET,
            SHARE,
            beside=f" (worst {min(shares):.3f})",
        ),
        *beside,
    ]


def _share(craft: Aircraft, at_port: list[str], effort: Effort, number: int) -> float:
    """The verb from its first line to its last, both reads and the file."""
    file = effort.folder / f"backup-{number}.yaml"
    craft.reset()
    with stopwatch() as took:
        _verb(["backup", *at_port, "--out", str(file)])
    return craft.counted().busiest_s / took.elapsed_s


def _verb(words: list[str]) -> None:
    with redirect_stdout(StringIO()):
        code = main(words)
    if code:
        msg = f"{words[0]} ended with {code}"
        raise MeasureError(msg)


def _cold(craft: Aircraft, at_port: list[str], effort: Effort) -> list[Row]:
    """The same with the start of Python and all imports, 0.14 s before a byte leaves."""
    file = effort.folder / "backup-cold.yaml"
    craft.reset()
    cost = run([BENCHLINK, "backup", *at_port, "--out", str(file)])
    share = craft.counted().busiest_s / cost.elapsed_s
    return [
        shown(
            "  beside it: with the start of the process and its imports",
            SHARE.text(share),
        ),
        shown(
            "  that process's processor time and memory",
            f"{SECONDS.text(cost.processor_s)}, {cost.resident_mib:.1f} MiB resident",
        ),
    ]


def _simple(craft: Aircraft) -> Row:
    with StopAndWait(craft.port) as client:
        craft.reset()
        with stopwatch() as took:
            for _ in range(READS):
                client.ask("recite")
        counted = craft.counted()
    return shown(
        "  beside it: listings by stop-and-wait, no start of a process, no file",
        SHARE.text(counted.busiest_s / took.elapsed_s),
    )

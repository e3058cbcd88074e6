"""A backup of 1,000 settings: the whole verb, from the start of its process to its end."""

from contextlib import redirect_stdout
from io import StringIO
from statistics import median
from typing import Final

from benchlink.faces.entry import main
from tests.bench.aircraft import BAUD, Aircraft, Counted
from tests.bench.at_bench import CONSOLE
from tests.bench.child import BENCHLINK, Cost, run
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
        # Writes down the approved console once, as every user's first verb does.
        run([BENCHLINK, "identify", *at_port])
        runs: list[tuple[Counted, Cost]] = []
        for number in range(effort.repeats(full=5, quick=1)):
            craft.reset()
            file = effort.folder / f"backup-{number}.yaml"
            cost = run([BENCHLINK, "backup", *at_port, "--out", str(file)])
            runs.append((craft.counted(), cost))
        # Nothing is held against these two, so a quick run leaves them out.
        beside = [] if effort.quick else [_warm(craft, at_port, effort), _simple(craft)]
    shares = [counted.busiest_s / cost.elapsed_s for counted, cost in runs]
    processor_s = median(cost.processor_s for _, cost in runs)
    resident_mib = max(cost.resident_mib for _, cost in runs)
    wire, elapsed = runs[-1][0].busiest_s, runs[-1][1].elapsed_s
    return [
        at_least(
            "backup of 1,000 settings, share of the wire (whole process, median)",
            median(shares),
            SHARE_TARGET,
            SHARE,
            beside=f" (worst {min(shares):.3f}; wire {wire:.3f} of {elapsed:.3f} s)",
        ),
        *beside,
        shown(
            "  the same backup's processor time and memory",
            f"{SECONDS.text(processor_s)}, {resident_mib:.1f} MiB resident",
        ),
    ]


def _warm(craft: Aircraft, at_port: list[str], effort: Effort) -> Row:
    """What is left when nothing has to be started or imported."""
    file = effort.folder / "backup-warm.yaml"
    craft.reset()
    with stopwatch() as took, redirect_stdout(StringIO()):
        code = main(["backup", *at_port, "--out", str(file)])
    if code:
        msg = f"the backup in this process ended with {code}"
        raise MeasureError(msg)
    return shown(
        "  beside it: the same verb in a process that has everything imported",
        SHARE.text(craft.counted().busiest_s / took.elapsed_s),
    )


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

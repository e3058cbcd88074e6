"""`python -m tests.bench [NAME ...] [--seed N] [--runs N] [--quick]`: measure, print, judge."""

import argparse
import signal
import subprocess
import sys
from collections.abc import Sequence

from benchlink.errors import BenchError
from tests.bench.effort import Effort, MeasureError, effort
from tests.bench.measurements import MEASUREMENTS
from tests.bench.report import exit_code, summary, table
from tests.bench.rows import Row, not_measured
from tests.bench.stopwatch import stopwatch


class Given(argparse.Namespace):
    """What was asked for."""

    names: list[str]
    seed: int
    runs: int
    minutes: float
    quick: bool


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the named measurements, or all of them; 1 on a miss."""
    # What a shell starts in the background ignores interrupts, and so would all that is
    # struck with one here.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    parser = _parser()
    given = parser.parse_args(arguments, namespace=Given())
    unknown = [name for name in given.names if name not in MEASUREMENTS]
    if unknown:
        parser.error(f"no such measurement: {', '.join(unknown)}")
    chosen = effort(
        given.seed, quick=given.quick, runs=given.runs, minutes=given.minutes
    )
    with stopwatch() as took, chosen as how:
        rows = [row for name in _chosen(given) for row in _measured(name, how)]
    print(table(rows))
    print(f"{summary(rows)} Seed {given.seed}, {took.elapsed_s:.0f} s.")
    return exit_code(rows)


def _chosen(given: Given) -> list[str]:
    return given.names or list(MEASUREMENTS)


def _measured(name: str, how: Effort) -> list[Row]:
    print(f"measuring {name} ...", end="", file=sys.stderr, flush=True)
    try:
        with stopwatch() as took:
            rows = MEASUREMENTS[name](how)
    except (BenchError, MeasureError, OSError, subprocess.SubprocessError) as trouble:
        print(" failed", file=sys.stderr)
        return [not_measured(name, f"{trouble}")]
    print(f" {took.elapsed_s:.1f} s", file=sys.stderr)
    return rows


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m tests.bench", description="Measure what was promised."
    )
    parser.add_argument(
        "names", nargs="*", metavar="NAME", help=f"one of {', '.join(MEASUREMENTS)}"
    )
    parser.add_argument("--seed", type=int, default=1, metavar="N", help="for chances")
    parser.add_argument(
        "--runs", type=int, default=0, metavar="N", help="sessions (fuzz, faults)"
    )
    parser.add_argument(
        "--minutes", type=float, default=0.0, metavar="N", help="of the soak"
    )
    parser.add_argument("--quick", action="store_true", help="fewer repeats")
    return parser


if __name__ == "__main__":
    sys.exit(main())

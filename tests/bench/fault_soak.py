"""Reads a chattering board for some minutes and tells what its memory does.

Started as `python -m tests.bench.fault_soak MINUTES`, so that its memory is its own.
"""

import json
import os
import sys
import time
from pathlib import Path
from typing import Final

from benchlink.errors import BenchError
from benchlink.faces.wiring import Choice, open_bench
from benchlink.workflows.read import read_settled
from tests.bench.aircraft import Aircraft
from tests.bench.at_bench import Nobody

PAGE_KIB: Final = os.sysconf("SC_PAGE_SIZE") // 1024
WARM_UP: Final = 0.2
"""Of the time; what is needed is loaded and filled by then."""
EVERY_S: Final = 1.0
CONSOLE: Final = "avocet"
FAULTS: Final = (
    "chatter in an answer rate=0.3 text='+LINK: 3'; late answer rate=0.01 by_ms=40"
)


def main(minutes: float) -> None:
    """Print readings, chatter and the slope as JSON."""
    seen: list[tuple[float, int]] = []
    readings = failed = 0
    options: dict[str, int | str] = {
        "console": CONSOLE,
        "settings": 60,
        "faults": FAULTS,
    }
    with Aircraft("--chatter", **options) as aircraft:
        bench = open_bench(Choice(port=aircraft.port, console=CONSOLE), Nobody())
        try:
            began = time.monotonic()
            next_s = began
            while (now := time.monotonic()) < began + minutes * 60:
                try:
                    read_settled(bench.session, Nobody())
                    readings += 1
                except BenchError:
                    failed += 1
                if now >= next_s:
                    next_s = now + EVERY_S
                    seen.append((now - began, _resident_kib()))
            received = bench.session.board.health().received_bytes
        finally:
            bench.close()
    warm = [one for one in seen if one[0] >= WARM_UP * 60 * minutes]
    told = {
        "readings": readings,
        "failed": failed,
        "received": received,
        "kib": warm[-1][1],
        "kib_per_minute": slope(warm) * 60,
    }
    print(json.dumps(told))


def slope(points: list[tuple[float, int]]) -> float:
    """Least squares."""
    mean_x = sum(x for x, _ in points) / len(points)
    mean_y = sum(y for _, y in points) / len(points)
    spread = sum((x - mean_x) ** 2 for x, _ in points)
    return sum((x - mean_x) * (y - mean_y) for x, y in points) / spread


def _resident_kib() -> int:
    pages = Path("/proc/self/statm").read_text("ascii").split()[1]
    return int(pages) * PAGE_KIB


if __name__ == "__main__":
    main(float(sys.argv[1]))

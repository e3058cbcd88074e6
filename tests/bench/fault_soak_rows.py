"""Memory over a long time with a board that chatters."""

import json
import subprocess
import sys
from typing import Final

from tests.bench.aircraft import CHECKOUT
from tests.bench.effort import Effort
from tests.bench.rows import Row, Unit, at_least, at_most, shown

MINUTES: Final = (10, 0.3)
FLAT: Final = 20.0
"""KiB a minute: less than 30 MiB in a day."""
ENOUGH: Final = 5.0
"""Minutes after which what is remembered of the chatter is full."""
SPARE_S: Final = 60.0
SLOPE: Final = Unit(digits=1, name="KiB/min")
COUNT: Final = Unit(digits=0)


def measure(effort: Effort) -> list[Row]:
    """So many minutes, in a process of its own."""
    minutes = effort.minutes or (MINUTES[1] if effort.quick else MINUTES[0])
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench.fault_soak", str(minutes)],
        cwd=CHECKOUT,
        capture_output=True,
        check=True,
        text=True,
        timeout=minutes * 60 + SPARE_S,
    )
    told: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    what = f"{minutes:g} minutes with a chattering board"
    return [
        at_least(f"{what}: settled readings", told["readings"], 1, COUNT),
        shown(
            "  readings that were given up, MB that came",
            f"{told['failed']:.0f}, {told['received'] / 1e6:.1f}",
        ),
        _growth(minutes, told["kib_per_minute"], told["kib"] / 1024),
    ]


def _growth(minutes: float, kib_per_minute: float, mib: float) -> Row:
    what, beside = "  memory grows by", f" (at {mib:.1f} MiB)"
    if minutes < ENOUGH:
        return shown(what, f"{SLOPE.text(kib_per_minute)}{beside}, still filling")
    return at_most(what, kib_per_minute, FLAT, SLOPE, beside=beside)

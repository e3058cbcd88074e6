"""`benchlink --help` beside a bare interpreter."""

import re
import subprocess
import sys
from statistics import median
from typing import Final

from tests.bench.aircraft import CHECKOUT
from tests.bench.child import BENCHLINK, run
from tests.bench.effort import Effort
from tests.bench.rows import MS, Row, at_most, shown

TIMES_BARE: Final = 2
PLUS_MS: Final = 60.0
MS_A_SECOND: Final = 1000

HEAVY: Final = frozenset(
    {"asyncio", "prompt_toolkit", "rich", "serial", "textual", "yaml"}
)
"""What `--help` has no use for, by the first part of a module's name."""
IMPORTED: Final = re.compile(r"^import time:.*\| +(\S+)$", re.MULTILINE)


def measure(effort: Effort) -> list[Row]:
    """Taken in turns, so that a busy moment of the machine meets both."""
    bare: list[float] = []
    helped: list[float] = []
    for _ in range(effort.repeats(full=20, quick=7)):
        bare.append(run([sys.executable, "-c", "pass"]).elapsed_s * MS_A_SECOND)
        helped.append(run([BENCHLINK, "--help"]).elapsed_s * MS_A_SECOND)
    bare_ms = median(bare)
    heavy = sorted(_imported() & HEAVY)
    return [
        at_most(
            "`benchlink --help`, median",
            median(helped),
            TIMES_BARE * bare_ms + PLUS_MS,
            MS,
            beside=f" (n={len(helped)})",
        ),
        shown("  beside it: a bare interpreter that does nothing", MS.text(bare_ms)),
        shown("  heavy modules that `--help` imports", ", ".join(heavy) or "none"),
    ]


def _imported() -> frozenset[str]:
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "benchlink", "--help"],
        cwd=CHECKOUT,
        capture_output=True,
        check=True,
        text=True,
    )
    names = IMPORTED.findall(done.stderr)
    return frozenset(str(name).partition(".")[0] for name in names)

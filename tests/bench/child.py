"""One command as a process: how long it took and what it used."""

import json
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from tests.bench.aircraft import CHECKOUT
from tests.bench.effort import MeasureError

LAUNCHER: Final = Path(__file__).with_name("launcher.py")
BENCHLINK: Final = str(Path(sys.executable).with_name("benchlink"))
KIB: Final = 1024
LONGEST_S: Final = 120.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What a process took from its start until it was gone."""

    elapsed_s: float
    processor_s: float
    resident_mib: float
    """The most it ever held in memory."""


def run(command: Sequence[str], code: int = 0) -> Cost:
    """Run a command to its end.

    Raises:
        MeasureError: it did not end with `code`; says its last words.
    """
    done = subprocess.run(
        [sys.executable, "-I", "-S", str(LAUNCHER), *command],
        cwd=CHECKOUT,
        capture_output=True,
        check=False,
        text=True,
        timeout=LONGEST_S,
    )
    told: dict[str, float] = json.loads(done.stdout or '{"code": 127}')
    if told["code"] != code:
        said = done.stderr.strip().splitlines() or ["nothing"]
        msg = f"{Path(command[0]).name} ended with {told['code']:.0f}: {said[-1]}"
        raise MeasureError(msg)
    return Cost(
        elapsed_s=told["elapsed_s"],
        processor_s=told["processor_s"],
        resident_mib=told["resident_kib"] / KIB,
    )

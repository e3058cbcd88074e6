"""The full screen as a process: how soon settings stand, and what it costs to leave it open."""

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from typing import Final

from benchlink.faces.wiring import ports, simulated_folder
from tests.bench.aircraft import Aircraft
from tests.bench.child import BENCHLINK
from tests.bench.effort import Effort, MeasureError
from tests.bench.key_rows import SETTINGS, STEPS
from tests.bench.loop_rows import PROFILE, measure_loop
from tests.bench.rows import MIB, SECONDS, Row, Unit, at_most, shown
from tests.bench.terminal import Terminal

DOWN: Final = b"\x1b[B"
SOME: Final = 600
MOST: Final = 5000
OPEN_S: Final = 1.0
LONGEST_S: Final = 20.0
SETTLE_S: Final = 3.0
WATCHED, SILENT = "wader", "knot"
"""A console that tells what feeds the board, and one that does not."""
IDLE: Final = 2.0
MEMORY_MIB: Final = 120.0
KIB: Final = 1024
PERCENT: Final = Unit(digits=2, name="%")


def measure(effort: Effort) -> list[Row]:
    """Opening, idling, memory, and how long the event loop is held up."""
    return [
        *_opened(effort),
        *_idle(effort),
        _memory(),
        *measure_loop(effort, MOST),
    ]


def _opened(effort: Effort) -> list[Row]:
    homes: list[float] = []
    wholes: list[float] = []
    with _announced(SOME) as craft:
        for _ in range(effort.repeats(full=11, quick=3)):
            with Terminal([BENCHLINK]) as terminal:
                home_s, whole_s = _once_opened(terminal, craft.port)
            homes.append(home_s)
            wholes.append(whole_s)
    return [
        at_most(
            f"from Enter on a port to its {SOME} settings, the steps first (median)",
            median(wholes),
            OPEN_S,
            SECONDS,
            beside=f" (worst {SECONDS.text(max(wholes))}, n={len(wholes)})",
        ),
        shown("  until the steps of the job stand", SECONDS.text(median(homes))),
    ]


def _once_opened(terminal: Terminal, port: str) -> tuple[float, float]:
    """Seconds from Enter until the steps stand, and from Enter until the settings do."""
    terminal.seconds_until(port.encode(), LONGEST_S)
    # The list may hold lines of the computer itself before the simulated board.
    below = [place.url for place in ports()].index(port)
    terminal.press(DOWN * below)
    terminal.look_on(time.monotonic() + SETTLE_S / 10)
    terminal.forget()
    entered_s = time.monotonic()
    terminal.press(b"\r")
    home_s = terminal.drawn_at_s(STEPS, entered_s + LONGEST_S) - entered_s
    terminal.press(b"v")
    return home_s, terminal.drawn_at_s(SETTINGS, entered_s + LONGEST_S) - entered_s


def _idle(effort: Effort) -> list[Row]:
    for_s = float(effort.repeats(full=60, quick=10))
    silent, watched = (_share(console, for_s) for console in (SILENT, WATCHED))
    return [
        at_most(
            f"processor of the steps left open for {for_s:.0f} s, nothing to watch",
            silent,
            IDLE,
            PERCENT,
        ),
        shown("  with the volts watched, every 2 s", PERCENT.text(watched)),
    ]


def _share(console: str, for_s: float) -> float:
    """Percent of one core that the process used, all its threads together."""
    with Aircraft(console=console) as craft, _at(craft, console) as terminal:
        terminal.seconds_until(STEPS, LONGEST_S)
        terminal.look_on(time.monotonic() + SETTLE_S)
        pid = terminal.process.pid
        before_s, began_s = _processor_s(pid), time.monotonic()
        terminal.look_on(time.monotonic() + for_s)
        used_s = _processor_s(pid) - before_s
        return 100 * used_s / (time.monotonic() - began_s)


def _memory() -> Row:
    against = ("--profile", PROFILE)
    with Aircraft(settings=MOST) as craft, _at(craft, WATCHED, *against) as terminal:
        terminal.seconds_until(STEPS, LONGEST_S)
        terminal.press(b"v")
        terminal.seconds_until(SETTINGS, LONGEST_S)
        terminal.look_on(time.monotonic() + SETTLE_S)
        peak = _kib(terminal.process.pid, "VmHWM") / KIB
        rest = _kib(terminal.process.pid, "VmRSS") / KIB
    return at_most(
        f"memory with {MOST:,} settings against a profile, the most it ever held",
        peak,
        MEMORY_MIB,
        MIB,
        beside=f" ({MIB.text(rest)} then)",
    )


@contextmanager
def _announced(settings: int) -> Iterator[Aircraft]:
    """An aircraft that stands in the list of ports."""
    folder = simulated_folder()
    folder.mkdir(parents=True, exist_ok=True)
    with Aircraft(settings=settings, announce=str(folder / "listed.json")) as craft:
        yield craft


@contextmanager
def _at(craft: Aircraft, console: str, *more: str) -> Iterator[Terminal]:
    command = [BENCHLINK, "--port", craft.port, "--console", console, *more]
    with Terminal(command) as terminal:
        yield terminal


def _processor_s(pid: int) -> float:
    """What a process used so far (proc(5), fields 14 and 15 of stat)."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def _kib(pid: int, name: str) -> int:
    """A figure of proc(5) status."""
    for line in Path(f"/proc/{pid}/status").read_text().splitlines():
        if line.startswith(f"{name}:"):
            return int(line.split()[1])
    msg = f"the system tells no {name} of a process"
    raise MeasureError(msg)

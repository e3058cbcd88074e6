"""For how long anything that a person does holds up the event loop of the full screen."""

import json
import sys
import time
from contextlib import suppress
from pathlib import Path
from statistics import median
from typing import Final

from tests.bench.aircraft import Aircraft
from tests.bench.effort import Effort
from tests.bench.key_rows import SETTINGS, STEPS
from tests.bench.rows import MS, Row, at_most
from tests.bench.terminal import Terminal

PROFILE: Final = "profiles/lapwing.yaml"
LONGEST_S: Final = 30.0
PAUSE_S: Final = 0.15
MOST_MS: Final = 50.0
MS_A_SECOND: Final = 1000
AFTER_S: Final = 1.0
"""How long what was drawn last may still be at work."""

DOING: Final = {
    "filtering": [b"3", b"2", b"1", b"0", b"\x1b[C", b"\x1b[D"],
    "searching": [b"/", *(bytes([c]) for c in b"channel"), *[b"\x7f"] * 7, b"\r"],
    "going through owners": [*[b"o"] * 5, *[b"O"] * 5],
    "marking": [b" ", b" ", b"x", b"x"],
    "moving": [b"\x1b[F", b"\x1b[H", *[b"\x1b[6~"] * 5, *[b"\x1b[A"] * 5],
    "going home and back": [b"h", b"v"],
}
"""What is done with the settings once they stand, key by key."""


def measure_loop(effort: Effort, settings: int) -> list[Row]:
    """The longest hold-up of each in a run; the median of runs, for others disturb as well."""
    runs = [
        _run(effort.folder / f"late-{number}.json", settings)
        for number in range(effort.repeats(full=7, quick=3))
    ]
    return [
        at_most(
            f"event loop held up while {what}, {settings:,} settings",
            median(run[what] for run in runs),
            MOST_MS,
            MS,
            beside=f" (worst of {len(runs)} runs {MS.text(max(r[what] for r in runs))})",
        )
        for what in runs[0]
    ]


def _run(file: Path, settings: int) -> dict[str, float]:
    """One session; the longest hold-up of each thing done (ms)."""
    spans: dict[str, tuple[float, float]] = {}
    with Aircraft(settings=settings) as craft:
        words = ["tests.bench.loop_watch", craft.port, PROFILE, str(file)]
        command = [sys.executable, "-m", *words]
        with Terminal(command) as terminal:
            terminal.seconds_until(STEPS, LONGEST_S)
            spans["opening"] = (terminal.started_s, time.monotonic())
            terminal.look_on(time.monotonic() + AFTER_S)
            began_s = time.monotonic()
            terminal.press(b"v")
            terminal.drawn_at_s(SETTINGS, began_s + LONGEST_S)
            terminal.look_on(time.monotonic() + AFTER_S)
            spans["reading"] = (began_s, time.monotonic())
            for what, keys in DOING.items():
                spans[what] = _typed(terminal, keys)
            terminal.press(b"q")
            _until_left(terminal)
    late: list[tuple[float, float]] = json.loads(file.read_text(encoding="utf-8"))
    return {what: longest_ms(late, *span) for what, span in spans.items()}


def _typed(terminal: Terminal, keys: list[bytes]) -> tuple[float, float]:
    began_s = time.monotonic()
    for key in keys:
        terminal.press(key)
        terminal.look_on(time.monotonic() + PAUSE_S)
    terminal.look_on(time.monotonic() + AFTER_S)
    return began_s, time.monotonic()


def _until_left(terminal: Terminal) -> None:
    until_s = time.monotonic() + LONGEST_S
    with suppress(OSError):  # it has left
        while terminal.process.poll() is None and time.monotonic() < until_s:
            terminal.look_on(time.monotonic() + PAUSE_S)
    terminal.process.wait(LONGEST_S)


def longest_ms(
    late: list[tuple[float, float]], began_s: float, ended_s: float
) -> float:
    """Of all that overlap the span."""
    held = (by for woken, by in late if woken > began_s and woken - by < ended_s)
    return MS_A_SECOND * max(held, default=0.0)

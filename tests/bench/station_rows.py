"""From a key at a station of the full screen to its line on the wire.

The real program from its list of steps on: every question before the first key that counts
is answered as a person at the bench would, and a hand does what is asked of it.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from random import Random
from typing import Final

from benchlink.core.job_steps import Step
from tests.bench.aircraft import Aircraft
from tests.bench.at_bench import CONSOLE
from tests.bench.child import BENCHLINK
from tests.bench.effort import Effort, MeasureError
from tests.bench.key_rows import (
    DRIVE,
    LATER_THAN_RAW_MS,
    NUDGES,
    STEPS,
    KeyBench,
    presses,
    raw,
)
from tests.bench.rows import MS, Row, at_most, shown
from tests.bench.spread import Spread, spread
from tests.bench.tap import Tap
from tests.bench.terminal import Terminal

SETTINGS: Final = 80
TO_FIRST: Final = b"\x1b[H"
DOWN: Final = b"\x1b[B"
SENTENCE: Final = b"props off LW-03\r"
WHIRL, HALT = b"whirl", b"halt"
RUNS_S: Final = (0.10, 0.30)
"""How long a motor runs before it is stopped by a key: less than its burst."""
STOP: Final = (b"x",)
TRIES: Final = 3


def measure(effort: Effort) -> list[Row]:
    """Nudges at the tilt station and stops at the spin station, beside a raw loop."""
    with Aircraft(settings=SETTINGS) as craft:
        bare = raw(craft.port, effort.random(), effort.repeats(full=1000, quick=100))
    nudges = _nudges(effort, effort.repeats(full=1000, quick=100))
    stops = _proven_stops(effort, effort.repeats(full=100, quick=10))
    most_ms = bare.p99 + LATER_THAN_RAW_MS
    return [
        _row("nudge key to wire at the tilt station", nudges, most_ms),
        _row("any key to the stop on the wire at the spin station", stops, most_ms),
        shown("  beside both: a raw terminal loop", bare.text(MS)),
    ]


def _row(what: str, measured: Spread, most_ms: float) -> Row:
    beside = f" ({measured.text(MS)})"
    return at_most(f"{what}, p99", measured.p99, most_ms, MS, beside=beside)


def _nudges(effort: Effort, count: int) -> Spread:
    with _bench(effort, NUDGES, DRIVE, "--tilts-follow") as (bench, craft):
        for order in ("disconnect pack", "connect rail"):
            craft.order(order)
        _begin(bench, Step.CENTRE)
        _answer(bench, b"Tail number", b"LW-03\r")
        _answer(bench, b"Tail number", b"LW-03\r")
        _answer(bench, b"Who works here", b"builder\r")
        for side in (b"left", b"right"):
            _answer(bench, b"servo of the " + side, b"\r")
            _answer(bench, b"Go on with an unknown servo", b"yes\r")
        _answer(bench, b"Type 'hands clear'", b"hands clear\r")
        _answer(bench, b"Which way did it go", lambda: _way(craft))
        _answer(bench, b"The jig shows", b"n\r")
        return presses(bench, count)


def _way(craft: Aircraft) -> bytes:
    moved = craft.order("moved").get("tilt-left")
    if not isinstance(moved, dict):
        msg = "the left tilt arm did not move"
        raise MeasureError(msg)
    return b"f\r" if moved["way"] == "fore" else b"a\r"


def _proven_stops(effort: Effort, count: int) -> Spread:
    """A busy machine looks too late for the proof before the first run, and is refused."""
    for _ in range(TRIES - 1):
        try:
            return _stops(effort, count)
        except MeasureError as trouble:
            if "radio now?" not in str(trouble):
                raise
    return _stops(effort, count)


def _stops(effort: Effort, count: int) -> Spread:
    with _bench(effort, STOP, HALT) as (bench, craft):
        craft.order("connect pack")
        _begin(bench, Step.SPIN)
        _answer(bench, b"Go on?", b"yes\r")
        _answer(bench, b"Tail number", b"LW-03\r")
        _answer(bench, b"Who works here", b"builder\r")
        _answer(bench, b"No run goes beyond", b"\r")
        _answer(bench, b"by the build sheet?", b"outboard-down\r")
        _answer(bench, b"Type `out`", b"out\r", craft, "disconnect pack")
        _answer(bench, b"type `props off LW-03`", SENTENCE)
        _answer(bench, b"Type `in`", b"in\r", craft, "connect pack")
        _answer(bench, b"type `props off LW-03`", SENTENCE)
        random = effort.random()
        return spread([_stop(bench, random) for _ in range(count)])


def _stop(bench: KeyBench, random: Random) -> float:
    """One burst, ended by a key before its time."""
    bench.shows(b"Key: ")
    bench.type(b" ")
    bench.wait_for(WHIRL)
    bench.spend(random.uniform(*RUNS_S))
    took_ms = bench.press()
    # Only now: a page that is laid out anew draws the old question once more.
    bench.forget()
    return took_ms


@contextmanager
def _bench(
    effort: Effort, keys: tuple[bytes, ...], line: bytes, *flags: str
) -> Iterator[tuple[KeyBench, Aircraft]]:
    with Aircraft(*flags, settings=SETTINGS) as craft, Tap(craft.port) as tap:
        command = [BENCHLINK, "--port", tap.port, "--console", CONSOLE]
        with Terminal(command, effort.folder) as terminal:
            bench = KeyBench(terminal, tap, effort.random(), keys, line)
            bench.shows(STEPS)
            yield bench, craft


def _begin(bench: KeyBench, step: Step) -> None:
    """Pick a step of the job."""
    bench.type(TO_FIRST + DOWN * list(Step).index(step))
    bench.shows(step.duty.title.encode())
    bench.rests()
    bench.type(b"\r")


def _answer(
    bench: KeyBench,
    prompt: bytes,
    typed: bytes | Callable[[], bytes],
    craft: Aircraft | None = None,
    order: str = "",
) -> None:
    """What is typed once the prompt stands there; a hand acts first."""
    bench.shows(prompt)
    bench.rests()
    if craft is not None:
        craft.order(order)
    bench.type(typed if isinstance(typed, bytes) else typed())

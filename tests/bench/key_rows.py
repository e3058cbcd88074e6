"""From a key pressed to the first byte of its line on the wire."""

import select
import sys
import time
from collections.abc import Callable, Sequence
from itertools import cycle
from random import Random
from typing import Final, final

from benchlink.core.job_steps import Step
from tests.bench.aircraft import Aircraft
from tests.bench.at_bench import CONSOLE
from tests.bench.child import BENCHLINK
from tests.bench.effort import Effort, MeasureError
from tests.bench.rows import MS, Row, at_most, shown
from tests.bench.spread import Spread, spread
from tests.bench.tap import Tap
from tests.bench.terminal import Terminal

KEY: Final = b"b"
LINE: Final = b"lamp"
NUDGES: Final = (b"\x1b[A", b"\x1b[B")
DRIVE: Final = b"swing p3"
LISTING: Final = b"recite"
STEPS: Final = f" of {len(Step)}".encode()
"""The last line of the steps of the job, once they stand."""
SETTINGS: Final = b"two readings agree"
LATER_THAN_RAW_MS: Final = 5.0
GAP_S: Final = (0.020, 0.060)
SETTLE_S: Final = 0.7
QUIET_S: Final = 0.3
LONGEST_S: Final = 10.0
MS_A_SECOND: Final = 1000


@final
class KeyBench:
    """The terminal and the board's side of the wire, watched by one loop."""

    def __init__(
        self,
        terminal: Terminal,
        tap: Tap,
        random: Random,
        keys: Sequence[bytes] = (KEY,),
        line: bytes = LINE,
    ) -> None:
        """`line` is how a line begins that one of the `keys`, pressed in turn, sends."""
        self._terminal: Final = terminal
        self._tap: Final = tap
        self._random: Final = random
        self._keys: Final = cycle(keys)
        self._line: Final = line
        self.sent = b""
        """What the host has sent, its tail."""
        self.sent_s = 0.0

    def spend(self, seconds: float) -> None:
        """Keep everything moving for a while."""
        self._until(lambda: False, seconds)

    def wait_for(self, line: bytes) -> None:
        """Until the host has sent that.

        Raises:
            MeasureError: it does not.
        """
        if not self._until(lambda: line in self.sent, LONGEST_S):
            msg = f"{line!r} never came over the wire; {self._terminal.last()}"
            raise MeasureError(msg)

    def shows(self, mark: bytes) -> None:
        """Until that was drawn; what was drawn is forgotten then.

        Raises:
            MeasureError: it is not.
        """
        if not self._until(lambda: mark in self._terminal.shown(), LONGEST_S):
            msg = f"{mark!r} was never drawn; {self._terminal.last()}"
            raise MeasureError(msg)
        self._terminal.forget()

    def rests(self) -> None:
        """Until nothing was drawn for a moment: a log that scrolls draws old lines anew."""
        until_s = time.monotonic() + LONGEST_S
        while time.monotonic() < until_s:
            before = len(self._terminal.drawn)
            self.spend(QUIET_S)
            if len(self._terminal.drawn) == before:
                return

    def forget(self) -> None:
        """What is drawn and sent from now on counts."""
        self._terminal.forget()
        self.sent = b""

    def type(self, keys: bytes) -> None:
        """Type something whose time does not count."""
        self.forget()
        self._terminal.press(keys)

    def press(self) -> float:
        """Press the key and give the milliseconds until its line is on the wire."""
        self.sent = b""
        pressed_s = time.monotonic()
        self._terminal.press(next(self._keys))
        self.wait_for(self._line)
        came_s = self.sent_s
        self.spend(self._random.uniform(*GAP_S))
        return (came_s - pressed_s) * MS_A_SECOND

    def _until(self, met: Callable[[], bool], within_s: float) -> bool:
        until_s = time.monotonic() + within_s
        ends = (self._terminal.screen, *self._tap.ends)
        while not met():
            left_s = until_s - time.monotonic()
            if left_s <= 0:
                return False
            for ready in select.select(ends, (), (), left_s)[0]:
                self._take(ready)
        return True

    def _take(self, ready: int) -> None:
        if ready == self._terminal.screen:
            try:
                self._terminal.read()
            except OSError:
                msg = f"the program ended; {self._terminal.last()}"
                raise MeasureError(msg) from None
            return
        seen = self._tap.pass_on(ready)
        if seen is not None:
            self.sent = (self.sent + seen.data)[-64:]
            self.sent_s = seen.at_s


def measure(effort: Effort) -> list[Row]:
    """The screen with its values shown, and the shortest loop there can be."""
    count = effort.repeats(full=1000, quick=100)
    with Aircraft() as craft:
        bare = raw(craft.port, effort.random(), count)
        screen = _screen(craft.port, effort.random(), count)
        nudges = _nudges(craft.port, effort.random(), count)
    return [
        at_most(
            "key to wire through the full screen, p99",
            screen.p99,
            bare.p99 + LATER_THAN_RAW_MS,
            MS,
            beside=f" ({screen.text(MS)})",
        ),
        at_most(
            "nudge key to wire, past the gate and the last look, p99",
            nudges.p99,
            bare.p99 + LATER_THAN_RAW_MS,
            MS,
            beside=f" ({nudges.text(MS)})",
        ),
        shown("  beside both: a raw terminal loop", bare.text(MS)),
    ]


def raw(port: str, random: Random, count: int) -> Spread:
    """The shortest way from a key to a line, in milliseconds."""
    with Tap(port) as tap:
        command = [sys.executable, "-m", "tests.bench.raw_keys", tap.port]
        with Terminal(command) as terminal:
            terminal.seconds_until(b"ready", LONGEST_S)
            return presses(KeyBench(terminal, tap, random), count)


def _screen(port: str, random: Random, count: int) -> Spread:
    with Tap(port) as tap:
        command: Sequence[str] = [
            BENCHLINK,
            *("--port", tap.port),
            *("--console", CONSOLE),
        ]
        with Terminal(command) as terminal:
            bench = KeyBench(terminal, tap, random)
            bench.wait_for(LISTING)
            bench.shows(STEPS)
            bench.type(b"v")
            bench.shows(SETTINGS)
            return presses(bench, count)


def _nudges(port: str, random: Random, count: int) -> Spread:
    with Tap(port) as tap:
        command = [sys.executable, "-m", "tests.bench.nudger", tap.port]
        with Terminal(command) as terminal:
            bench = KeyBench(terminal, tap, random, NUDGES, DRIVE)
            bench.wait_for(DRIVE)
            return presses(bench, count)


def presses(bench: KeyBench, count: int) -> Spread:
    """So many keys, in milliseconds."""
    bench.spend(SETTLE_S)
    return spread([bench.press() for _ in range(count)])

"""A thousand keys a second into the nudging of an arm, and what came over the wire."""

import os
import re
import select
import sys
import time
from contextlib import suppress
from dataclasses import dataclass
from itertools import cycle, groupby, islice
from random import Random
from typing import Final

from tests.bench.effort import MeasureError
from tests.bench.tap import Seen, Tap
from tests.bench.terminal import Terminal

KEYS_A_SECOND: Final = 1000
BY_KEY: Final = {b"\x1b[A": 10, b"\x1b[B": -10, b"\x1b[C": 2, b"\x1b[D": -2}
START_US: Final = 1500
NEAR_US: Final = 45
"""The walk of the keys stays so near that no hop is cut into several."""
LONGEST_S: Final = 20.0
READY: Final = b"1500 us"
QUIET_S: Final = 0.5
PULSE: Final = re.compile(rb"swing p3 to (\d+) for \d+\r")
LEFT_TO_COME: Final = 2
"""One line in flight and one that waits."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flood:
    """What a flood of keys came to."""

    keys: int
    seconds: float
    """How long it took to type them."""
    wanted_us: int
    """Where they lead, all of them added up."""
    pulses_us: tuple[int, ...]
    """What was ordered, in its order."""
    after_last_key: int
    """Nudges that left after the last key had been taken."""
    halted_last: bool
    """Whether the stop is the last line of all."""

    @property
    def right(self) -> bool:
        return (
            bool(self.pulses_us)
            and self.pulses_us[-1] == self.wanted_us
            and self.after_last_key <= LEFT_TO_COME
            and self.halted_last
        )


def drawn(random: Random, count: int) -> list[bytes]:
    """Keys of a walk that stays near."""
    keys: list[bytes] = []
    at = 0
    while len(keys) < count:
        key = random.choice(list(BY_KEY))
        if abs(at + BY_KEY[key]) <= NEAR_US:
            keys.append(key)
            at += BY_KEY[key]
    if at == 0:
        keys[-1:] = islice(cycle([b"\x1b[A"]), 3)
    return keys


def flood(port: str, random: Random, count: int) -> Flood:
    """Type so many keys in time, then Enter, and see what left.

    Raises:
        MeasureError: the nudging never began or ended.
    """
    keys = drawn(random, count)
    with Tap(port) as tap:
        command = [sys.executable, "-m", "tests.bench.nudger", tap.port]
        with Terminal(command) as terminal:
            watch = _Watch(terminal, tap)
            watch.until(READY, LONGEST_S)
            watch.seen.clear()
            began_s = time.monotonic()
            for number, key in enumerate(keys):
                watch.spend(began_s + number / KEYS_A_SECOND - time.monotonic())
                os.write(terminal.screen, key)
            typed_s = time.monotonic()
            watch.spend(QUIET_S)
            os.write(terminal.screen, b"\r")
            watch.until_over(LONGEST_S)
            return _told(keys, typed_s - began_s, typed_s, watch.seen)


class _Watch:
    """The terminal and the wire, looked after by one loop."""

    def __init__(self, terminal: Terminal, tap: Tap) -> None:
        self._terminal: Final = terminal
        self._tap: Final = tap
        self.seen: Final[list[Seen]] = []

    def spend(self, seconds: float) -> None:
        until_s = time.monotonic() + seconds
        while (left_s := until_s - time.monotonic()) > 0:
            self._turn(left_s)

    def until(self, mark: bytes, within_s: float) -> None:
        until_s = time.monotonic() + within_s
        while mark not in self._terminal.shown():
            left_s = until_s - time.monotonic()
            if left_s <= 0:
                msg = f"{mark!r} never came: {self._terminal.shown()[-300:]!r}"
                raise MeasureError(msg)
            self._turn(left_s)

    def until_over(self, within_s: float) -> None:
        """Until the tool has ended, and everything that it sent has passed."""
        until_s = time.monotonic() + within_s
        while self._terminal.process.poll() is None:
            if time.monotonic() > until_s:
                msg = "the nudging never ended"
                raise MeasureError(msg)
            self._turn(QUIET_S)
        self.spend(QUIET_S)

    def _turn(self, within_s: float) -> None:
        ends = (self._terminal.screen, *self._tap.ends)
        for ready in select.select(ends, (), (), within_s)[0]:
            if ready == self._terminal.screen:
                with suppress(OSError):  # the tool has ended
                    self._terminal.read()
            elif (seen := self._tap.pass_on(ready)) is not None:
                self.seen.append(seen)


def _told(
    keys: list[bytes], seconds: float, last_key_s: float, seen: list[Seen]
) -> Flood:
    everything = b"".join(one.data for one in seen)
    pulses = [int(pulse) for pulse in PULSE.findall(everything)]
    # A key is taken within a tick of the terminal's loop.
    late = [one.data for one in seen if one.at_s > last_key_s + TAKEN_S]
    # What is held is told again: that is no nudge that waited.
    told = len(PULSE.findall(b"".join(late)))
    before = pulses[: len(pulses) - told][-1:]
    fresh = [pulse for pulse, _ in groupby([*before, *pulses[len(pulses) - told :]])]
    lines = everything.split(b"\r")
    return Flood(
        keys=len(keys),
        seconds=seconds,
        wanted_us=START_US + sum(BY_KEY[key] for key in keys),
        pulses_us=tuple(pulses),
        after_last_key=len(fresh) - len(before),
        halted_last=lines[-2:] == [b"halt", b""],
    )


TAKEN_S: Final = 0.01

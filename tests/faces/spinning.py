"""`benchlink spin` at a real terminal, key by key, with a hand on the aircraft."""

import os
import select
import subprocess
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Final, final

from tests.faces.running import WITHIN_S, Aircraft, Screen, Workshop, aircraft

SPIN: Final = ("spin", "--aircraft", "LW-03", "--operator", "builder")
PROPS: Final = "type `props off LW-03`"
SENTENCE: Final = b"props off LW-03\n"
OUT, IN = "Type `out` then", "Type `in` then"
OPEN: Final = "Go on? [yes/no] "
KEY: Final = "Key: "
WHAT, WAY, HAND = "What turned?", "Which way, seen", "by the build sheet?"


@dataclass(frozen=True)
class Step:
    """What is waited for, what a hand does then, and what is typed."""

    prompt: str
    typed: bytes | Callable[[], str] = b""
    orders: tuple[str, ...] = ()


@final
class Watcher:
    """Whoever looks at the motors and says what truly turned."""

    def __init__(self, craft: Aircraft) -> None:
        self._craft = craft
        self._ways: list[str] = []

    def looks_away(self) -> str:
        """What moved until now is forgotten; a burst is wanted."""
        self._craft.order("moved")
        return " "

    def what(self) -> str:
        moved = self._craft.order("moved")
        self._ways = [
            str(dict(m)["way"]) for m in moved.values() if isinstance(m, dict)
        ]
        if not moved:
            return "nothing\n"
        (thing,) = moved
        kind, _, side = thing.partition("-")
        return f"{side}\n" if kind == "motor" else "a tilt\n"

    def way(self) -> str:
        return f"{self._ways[0]}\n"

    def motor(self) -> list[Step]:
        """One burst, seen enough, and two answers."""
        return [
            Step(KEY, self.looks_away),
            Step(KEY, b"\n"),
            Step(WHAT, self.what),
            Step(WAY, self.way),
        ]


def proofs() -> list[Step]:
    """The pack out and in, and both confirmations."""
    return [
        Step(OUT, b"out\n", ("disconnect pack",)),
        Step(PROPS, SENTENCE),
        Step(IN, b"in\n", ("connect pack",)),
        Step(PROPS, SENTENCE),
    ]


@contextmanager
def lapwing(workshop: Workshop, console: str) -> Iterator[Aircraft]:
    """LW-03 with its folder, its pack in."""
    with aircraft(workshop, "--console", console, "--settings", "60") as craft:
        made = workshop.run("aircraft", "LW-03", "--title", "Lapwing three")
        assert made.code == 0, made.err
        craft.order("connect pack")
        yield craft


@final
class Bench:
    """`benchlink spin` while it runs."""

    def __init__(
        self, craft: Aircraft, process: subprocess.Popen[bytes], screen: Screen
    ) -> None:
        self.craft = craft
        self.process = process
        self.said = ""
        self._heard = ""
        self._screen = screen

    def play(self, steps: Sequence[Step]) -> None:
        for step in steps:
            self.await_words(step.prompt)
            for order in step.orders:
                self.craft.order(order)
            self.type(step.typed if isinstance(step.typed, bytes) else step.typed())

    def type(self, typed: bytes | str) -> None:
        os.write(self._screen.fd, typed if isinstance(typed, bytes) else typed.encode())

    def await_words(self, words: str) -> None:
        while words not in self._heard:
            data = self._read()
            assert data, f"it ended without {words!r}: {self.said}{self._heard}"
            self._heard += data
        before, _, self._heard = self._heard.partition(words)
        self.said += before + words

    def await_spin(self, *, over: bool = False) -> None:
        """Until a motor is driven; or until none is."""
        until = time.monotonic() + WITHIN_S
        while time.monotonic() < until:
            felt = self.craft.order("felt")
            if any((felt[f"spin-{side}"] == 0) is over for side in ("left", "right")):
                return
        msg = "the motors never came to that"
        raise AssertionError(msg)

    def close(self) -> None:
        """The terminal's window goes, and everything that runs in it hears so."""
        self._screen.close()

    def end(self) -> int:
        while data := self._read():
            self._heard += data
        self.said += self._heard
        return self.process.wait(WITHIN_S)

    def _read(self) -> str:
        assert select.select([self._screen.fd], [], [], WITHIN_S)[0], (
            f"nothing more came: {self.said}{self._heard}"
        )
        try:
            return os.read(self._screen.fd, 65536).decode()
        except OSError:
            return ""


@contextmanager
def spinning(workshop: Workshop, craft: Aircraft, *more: str) -> Iterator[Bench]:
    """The verb at a terminal of its own, which Ctrl-C belongs to."""
    with workshop.terminal(*SPIN, *more) as (process, screen):
        bench = Bench(craft, process, screen)
        # Nobody did the steps before it on this aircraft.
        bench.play([Step(OPEN, b"yes\n")])
        yield bench


def never_span_with_props(craft: Aircraft) -> bool:
    return craft.order("props")["ever-span-with-props"] is False

"""From the call of `stop` to its first byte on a wire of 115,200 baud.

The watch stands on the far side, in a process of its own, and reckons with the bytes
that are before it on the wire. Granted is the rest of what was started, that is, handed
over before the call: a line goes out in one write and cannot be called back. Shown
beside it is the same with only the line granted that is leaving at that moment.
"""

import json
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from functools import partial
from random import Random
from typing import Final, final

from benchlink.console.conversation import Conversation
from benchlink.console.description import Manner
from benchlink.console.grammar import Grammar
from benchlink.console.schema import describe
from benchlink.core.exchange import Command
from benchlink.errors import LinkError
from benchlink.faces.wiring import clock
from benchlink.link.board import LinkBoard, Route, connect
from benchlink.link.ports import PortIdentity
from benchlink.store.descriptions import find_console, node_of
from benchlink.units import Baud, Seconds
from tests.bench.aircraft import BAUD, CHECKOUT, Aircraft
from tests.bench.at_bench import CONSOLE
from tests.bench.declared_wire import DeclaredWire, open_declared
from tests.bench.effort import Effort, MeasureError
from tests.bench.rows import MS, Row, at_most, shown
from tests.bench.spread import Spread, spread
from tests.bench.tap import Seen
from tests.bench.wire_log import OnWire, leaving_s, on_wire, started_s

SETTINGS: Final = 300
BULK: Final = 50
GAP_S: Final = (0.005, 0.015)
BEYOND_STARTED_MS: Final = 5.0
PATIENCE: Final = Seconds(5.0)
MS_A_SECOND: Final = 1000
STOP_LINE: Final = b"halt\r"


@final
class TapProcess:
    """The tap, started and read out."""

    def __init__(self, board_port: str) -> None:
        self._process: Final = subprocess.Popen(
            [sys.executable, "-m", "tests.bench.tap_process", board_port],
            cwd=CHECKOUT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        told = self._process.stdout
        self.port: Final = told.readline().strip() if told else ""

    def finish(self) -> list[Seen]:
        """End it, and give what the host sent."""
        told, _ = self._process.communicate(timeout=float(PATIENCE))
        seen: list[tuple[float, str]] = json.loads(told or "[]")
        return [Seen(at_s, text.encode("latin-1")) for at_s, text in seen]


def measure(effort: Effort) -> list[Row]:
    """While single questions fill the window, and while a listing comes in."""
    grammar = _grammar()
    (one,) = grammar.utter("read", {"name": "tilt.left.centre_us"}).commands
    long_value = {"name": "craft.remark", "value": f'"{"m" * 40}"'}
    (write,) = grammar.utter("write", long_value).commands
    (listing,) = grammar.asks(grammar.description.sources[0])
    busy = {
        "short lines fill the window": [one] * BULK,
        "long lines fill the window": [write] * BULK,
        "a listing comes in": list(listing.commands),
    }
    return [
        row
        for what, commands in busy.items()
        for row in _measured(effort, grammar, what, commands)
    ]


def _measured(
    effort: Effort, grammar: Grammar, what: str, commands: Sequence[Command]
) -> list[Row]:
    count = effort.repeats(full=300, quick=100)
    with Aircraft(baud=BAUD, settings=SETTINGS) as craft:
        tap = TapProcess(craft.port)
        try:
            with (
                _board(tap.port, grammar.description.manner) as (board, wire),
                _kept_busy(board, commands),
            ):
                stop = grammar.single("stop")
                called = _stops(board, stop, effort.random(), count)
        finally:
            seen = tap.finish()
    lines = on_wire(wire.handed_over, seen)
    left = [line.first_s for line in lines if line.line.endswith(STOP_LINE)]
    if len(left) != count:
        msg = f"{count} stops were called and {len(left)} came over the wire"
        raise MeasureError(msg)
    return _rows(what, lines, list(zip(called, left, strict=True)))


def _rows(
    what: str, lines: Sequence[OnWire], stops: Sequence[tuple[float, float]]
) -> list[Row]:
    """From pairs of a call and the first byte that left."""

    def beyond(granted: Callable[[Sequence[OnWire], float], float]) -> Spread:
        return spread(
            [(left - at - granted(lines, at)) * MS_A_SECOND for at, left in stops]
        )

    started = beyond(started_s)
    return [
        at_most(
            f"stop to wire while {what}, beyond the started lines, p99",
            started.p99,
            BEYOND_STARTED_MS,
            MS,
            beside=f" ({started.text(MS)})",
        ),
        shown("  beyond the line that is leaving", beyond(leaving_s).text(MS)),
        shown("  all of it", beyond(lambda *_: 0.0).text(MS)),
    ]


def _grammar() -> Grammar:
    _, path, data = find_console(CONSOLE)
    return Grammar(describe(node_of(data, path)))


@contextmanager
def _board(port: str, manner: Manner) -> Iterator[tuple[LinkBoard, DeclaredWire]]:
    wires: list[DeclaredWire] = []

    def opened(url: str, speed: Baud, device: PortIdentity) -> DeclaredWire:
        wires.append(open_declared(url, speed, device))
        return wires[-1]

    route = Route(
        begin=lambda speed, now, _: Conversation(manner, speed=speed, now=now),
        speed=Baud(BAUD),
        clock=clock,
        patience=PATIENCE,
        open_wire=opened,
    )
    with connect(route, PortIdentity(url=port)) as board:
        yield board, wires[0]


@contextmanager
def _kept_busy(board: LinkBoard, commands: Sequence[Command]) -> Iterator[None]:
    over = threading.Event()
    thread = threading.Thread(target=partial(_ask_on, board, commands, over))
    thread.start()
    try:
        yield
    finally:
        over.set()
        thread.join()


def _ask_on(
    board: LinkBoard, commands: Sequence[Command], over: threading.Event
) -> None:
    while not over.is_set():
        try:
            board.ask(commands)
        except LinkError:
            return


def _stops(board: LinkBoard, stop: Command, random: Random, count: int) -> list[float]:
    called: list[float] = []
    for _ in range(count):
        time.sleep(random.uniform(*GAP_S))
        called.append(time.monotonic())
        # Behind a long listing the answer comes later than anybody waits for it.
        with suppress(LinkError):
            board.stop(stop)
    return called

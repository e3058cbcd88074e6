"""The process: waits for bytes, orders and time, and lets the bench act."""

import contextlib
import json
import os
import select
import signal
import sys
import time
from typing import TYPE_CHECKING, Final, final

from .announcement import Announcement
from .bench import Bench, tell
from .control import obey
from .device import Device
from .generated_description import description_data
from .options import parse_options
from .store import FileStore, MemoryStore, StoreError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from types import FrameType

    from .options import Options

_US_PER_S: Final = 1_000_000
_NS_PER_US: Final = 1000
_STDIN: Final = 0


def main(arguments: "Sequence[str]") -> int:
    """Serve one aircraft until told to stop; gives the exit code."""
    options = parse_options(arguments)
    if options.about:
        tell(json.dumps(description_data(options.seed), indent=1))
        return 0
    try:
        with _stop_signals() as wake:
            _Server(options, wake).serve()
    except (StoreError, OSError) as problem:
        sys.stderr.write(f"the simulated aircraft has stopped: {problem}\n")
        return 1
    return 0


@final
class _Server:
    """The one loop. Time 0 of the board is the start of the process."""

    def __init__(self, options: "Options", wake: int) -> None:
        kept_in = MemoryStore() if options.store is None else FileStore(options.store)
        self._start_us = _clock_us()
        device = Device(options, kept_in)
        announcement = Announcement(
            options.announce,
            console=options.console.value,
            serial=device.aircraft.value("board.number", 0).strip('"'),
        )
        self._bench = Bench(options, device, announcement)
        self._wake = wake
        self._ends_with_stdin = options.until_eof
        self._listens = True
        self._orders = b""

    def serve(self) -> None:
        """Run until a stop signal, the order `quit`, or the end of input."""
        try:
            while not self._bench.ending:
                self._round()
        finally:
            self._bench.close()

    def _round(self) -> None:
        bench = self._bench
        orders = (_STDIN,) if self._listens else ()
        readable, _, _ = select.select(
            (self._wake, *orders, *bench.watch()), bench.room(), (), self._patience_s()
        )
        clock_us = _clock_us()
        now_us = clock_us - self._start_us
        if self._wake in readable:
            bench.ending = True
        if any(fd in readable for fd in bench.watch()):
            bench.read(now_us, clock_us)
        bench.run(now_us, clock_us)
        if _STDIN in readable:
            self._take_orders(now_us)

    def _patience_s(self) -> float | None:
        now_us = _clock_us() - self._start_us
        due_us = self._bench.next_us(now_us)
        return None if due_us is None else max(0, due_us - now_us) / _US_PER_S

    def _take_orders(self, now_us: int) -> None:
        try:
            data = os.read(_STDIN, 65536)
        except OSError:
            data = b""
        if not data:
            self._listens = False
            self._bench.ending = self._bench.ending or self._ends_with_stdin
        *lines, self._orders = (self._orders + data).split(b"\n")
        for line in lines:
            order = line.decode("utf-8", "replace")
            tell(json.dumps(obey(self._bench, order, now_us)))


def _clock_us() -> int:
    return time.monotonic_ns() // _NS_PER_US


@contextlib.contextmanager
def _stop_signals() -> "Iterator[int]":
    """A file descriptor that becomes readable when the process is asked to stop."""
    wake, woken = os.pipe()
    os.set_blocking(woken, False)
    signal.set_wakeup_fd(woken, warn_on_full_buffer=False)
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, _only_wake)
    try:
        yield wake
    finally:
        signal.set_wakeup_fd(-1)
        os.close(wake)
        os.close(woken)


def _only_wake(_number: int, _frame: "FrameType | None") -> None:
    """The byte in the pipe says it all."""

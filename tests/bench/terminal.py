"""A terminal that a program runs on: types keys, always reads, remembers the tail.

The program gets it as standard error as well, because that is where a full screen draws.
"""

import fcntl
import os
import re
import select
import struct
import subprocess
import termios
import time
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Final, Self, final

from tests.bench.aircraft import CHECKOUT
from tests.bench.effort import MeasureError

COLUMNS: Final = 120
LINES: Final = 40
CHUNK: Final = 65536
TAIL: Final = 1 << 20
LONGEST_END_S: Final = 5.0
WORDS: Final = 40

ESCAPES: Final = re.compile(
    rb"\x1b(?:\[[0-?]*[ -/]*[@-~]|[\]P][^\x07\x1b]*(?:\x07|\x1b\\)|[ -/]*[0-~])"
)
"""Control sequences and strings (ECMA-48): what is left is what shows."""


@final
class Terminal:
    """A process on a pty of 120 by 40."""

    def __init__(self, command: Sequence[str], folder: Path = CHECKOUT) -> None:
        self.screen, far = os.openpty()
        size = struct.pack("HHHH", LINES, COLUMNS, 0, 0)
        fcntl.ioctl(far, termios.TIOCSWINSZ, size)
        environment = {**os.environ, "TERM": "xterm-256color"}
        for name in ("NO_COLOR", "COLUMNS", "LINES"):
            environment.pop(name, None)
        self.drawn = bytearray()
        self.started_s: Final = time.monotonic()
        self._drawn_s = self.started_s
        self.process: Final = subprocess.Popen(
            command,
            cwd=folder,
            env=environment,
            stdin=far,
            stdout=far,
            stderr=far,
            start_new_session=True,
        )
        os.close(far)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.process.terminate()
        until_s = time.monotonic() + LONGEST_END_S
        # A program that restores its screen must not wait for us to read it.
        while self.process.poll() is None and time.monotonic() < until_s:
            if select.select([self.screen], (), (), 0.05)[0]:
                with suppress(OSError):
                    self.read()
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        os.close(self.screen)

    def press(self, key: bytes) -> None:
        """Type one key."""
        os.write(self.screen, key)

    def read(self) -> None:
        """Take what has been drawn; to be called whenever there is something."""
        self.drawn += os.read(self.screen, CHUNK)
        self._drawn_s = time.monotonic()
        del self.drawn[:-TAIL]

    def look_on(self, until_s: float) -> None:
        """Take what is drawn until then (monotonic seconds), as a terminal does."""
        while (left_s := until_s - time.monotonic()) > 0:
            if select.select([self.screen], (), (), left_s)[0]:
                self.read()

    def forget(self) -> None:
        """What is drawn from now on counts."""
        self.drawn.clear()

    def shown(self) -> bytes:
        """Everything drawn, without what only moves or colours."""
        return ESCAPES.sub(b"", bytes(self.drawn))

    def last(self) -> str:
        """The last words on the screen, for whoever waited for others."""
        words = self.shown().decode("ascii", "replace").split()
        return f"last on the screen: {' '.join(words[-WORDS:])}"

    def seconds_until(self, mark: bytes, within_s: float) -> float:
        """From the start of the process until `mark` was drawn.

        Raises:
            MeasureError: it never was.
        """
        return self.drawn_at_s(mark, self.started_s + within_s) - self.started_s

    def drawn_at_s(self, mark: bytes, until_s: float) -> float:
        """When `mark` was drawn (monotonic seconds), of what was not forgotten.

        Raises:
            MeasureError: it was not, until then.
        """
        if mark in self.shown():
            return self._drawn_s
        while (left_s := until_s - time.monotonic()) > 0:
            if not select.select([self.screen], (), (), left_s)[0]:
                break
            try:
                self.read()
            except OSError:
                break
            if mark in self.shown():
                return self._drawn_s
        msg = f"{mark!r} was never drawn; {self.last()}"
        raise MeasureError(msg)

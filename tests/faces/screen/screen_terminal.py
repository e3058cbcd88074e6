"""A pseudo-terminal with a full-screen program in it, and what stands on it."""

import fcntl
import os
import select
import signal
import struct
import subprocess
import termios
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Final, final

from tests.faces.screen.painted import Painted

PATIENCE_S: Final = 20.0
SIZES: Final = frozenset({"COLUMNS", "LINES"})
LOOK_S: Final = 0.5
QUIET_S: Final = 0.1
TOGETHER_S: Final = 0.02
"""A picture comes in several pieces, closer together than this."""


@final
class Terminal:
    """A terminal with the screen in it."""

    def __init__(
        self,
        command: Sequence[str],
        folder: Path,
        environment: Mapping[str, str],
        size: tuple[int, int] = (80, 24),
        *,
        own_output: bool = False,
        kind: str = "xterm-256color",
    ) -> None:
        """With `own_output` the program's standard output goes to a pipe beside.

        `kind` is the terminal's name as terminfo has it.
        """
        self.fd, self.slave = os.openpty()
        self._open = True
        self.painted = Painted(*size)
        self._set_size(size)
        self.before = termios.tcgetattr(self.slave)
        # They would count for more than the terminal's own size.
        others = {k: v for k, v in environment.items() if k not in SIZES}
        self.process = subprocess.Popen(
            command,
            cwd=folder,
            env={**others, "TERM": kind},
            stdin=self.slave,
            stdout=subprocess.PIPE if own_output else self.slave,
            stderr=self.slave,
            start_new_session=True,
        )
        self.shown = b""

    def until(self, text: str) -> None:
        """Wait until it stands on the terminal."""
        self.until_met(lambda: text in self.text(), repr(text))

    def until_gone(self, text: str) -> None:
        """Wait until it does not stand there any more."""
        self.until_met(lambda: text not in self.text(), f"{text!r} gone")

    def until_met(self, met: Callable[[], bool], what: str) -> None:
        """Wait for it while the program paints."""
        by = time.monotonic() + PATIENCE_S
        while not met():
            ended = self.process.poll() is not None
            assert not ended, f"it ended before {what}:\n{self.text()}"
            assert time.monotonic() < by, f"waited in vain for {what}:\n{self.text()}"
            self._take(LOOK_S)

    def settle(self) -> None:
        """Until nothing is painted any more: a log scrolls a picture later."""
        by = time.monotonic() + PATIENCE_S
        while self._take(QUIET_S):
            assert time.monotonic() < by, f"it never rests:\n{self.text()}"

    def text(self) -> str:
        """What stands there now."""
        return self.painted.text()

    def type(self, keys: bytes | str) -> None:
        """Press keys."""
        os.write(self.fd, keys if isinstance(keys, bytes) else keys.encode())

    def resize(self, columns: int, rows: int) -> None:
        """Another window size; the program is told as a terminal tells it."""
        self.painted = Painted(columns, rows)
        self._set_size((columns, rows))
        self.process.send_signal(signal.SIGWINCH)

    def end(self) -> tuple[int, str]:
        """Wait for the exit; gives the code and what was told on a pipe."""
        by = time.monotonic() + PATIENCE_S
        while self.process.poll() is None:
            assert time.monotonic() < by, f"it does not end:\n{self.text()}"
            self._take(0.01)
        while self._take(0):
            """What is still on its way."""
        out = self.process.stdout
        return self.process.returncode, out.read().decode() if out else ""

    def close(self) -> None:
        """Whatever happened, nothing of it stays."""
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait(PATIENCE_S)
        if self.process.stdout is not None:
            self.process.stdout.close()
        self.vanish()

    def vanish(self) -> None:
        """Both ends go without a signal: it controls no session."""
        if self._open:
            self._open = False
            for fd in (self.fd, self.slave):
                os.close(fd)

    def takes(self, *, output: bool) -> None:
        """Whether it takes what is written to it: flow control, or a line that stalls."""
        termios.tcflow(self.slave, termios.TCOON if output else termios.TCOOFF)

    def _take(self, within: float) -> bool:
        """Paint all that comes together; False where nothing comes in time."""
        wait, took = within, False
        while select.select([self.fd], [], [], wait)[0]:
            data = os.read(self.fd, 65536)
            self.shown += data
            self.painted.feed(data)
            wait, took = TOGETHER_S, True
        return took

    def _set_size(self, size: tuple[int, int]) -> None:
        columns, rows = size
        packed = struct.pack("HHHH", rows, columns, 0, 0)
        fcntl.ioctl(self.slave, termios.TIOCSWINSZ, packed)

"""The screen as a process on a real pseudo-terminal: what only a terminal shows."""

import fcntl
import os
import re
import select
import signal
import struct
import subprocess
import sys
import termios
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

import pytest

ROOT = Path(__file__).parents[3]
PATIENCE_S = 20.0
COLOUR: Final = re.compile(rb"\x1b\[[0-9;]*\b(?:3[0-8]|4[0-8]|9[0-7])[;m]")
"""Any SGR that picks a colour other than the terminal's own (ECMA-48 8.3.117)."""


class Terminal:
    """A terminal with the screen in it."""

    def __init__(self, environment: dict[str, str], *arguments: str) -> None:
        self.fd, slave = os.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.before = termios.tcgetattr(slave)
        base = {k: v for k, v in os.environ.items() if k != "NO_COLOR"}
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.faces.screen.screen_program", *arguments],
            cwd=ROOT,
            env={**base, "TERM": "xterm-256color", **environment},
            stdin=slave,
            stdout=subprocess.PIPE,
            stderr=slave,
        )
        self.slave = slave
        self.shown = b""

    def until(self, text: bytes) -> None:
        while text not in self.shown:
            ready, _, _ = select.select([self.fd], [], [], PATIENCE_S)
            assert ready, f"waited in vain for {text!r} after {self.shown[-300:]!r}"
            self.shown += os.read(self.fd, 65536)

    def type(self, keys: bytes) -> None:
        os.write(self.fd, keys)

    def end(self) -> tuple[int, str]:
        """Wait for the exit; gives the code and what was told."""
        out = self.process.stdout
        assert out is not None
        while self.process.poll() is None:
            if select.select([self.fd], [], [], 0.01)[0]:
                self.shown += os.read(self.fd, 65536)
        while select.select([self.fd], [], [], 0)[0]:
            self.shown += os.read(self.fd, 65536)
        return self.process.returncode, out.read().decode()

    def close(self) -> None:
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait(PATIENCE_S)
        assert self.process.stdout is not None
        self.process.stdout.close()
        for fd in (self.fd, self.slave):
            os.close(fd)


@contextmanager
def terminal(*arguments: str, **environment: str) -> Iterator[Terminal]:
    opened = Terminal(environment, *arguments)
    try:
        opened.until(b"two readings agree")
        yield opened
    finally:
        opened.close()


@pytest.mark.parametrize(
    ("number", "code"), [(signal.SIGTERM, 143), (signal.SIGHUP, 129)]
)
def test_a_signal_lets_go_of_the_board_and_leaves(
    number: signal.Signals, code: int
) -> None:
    with terminal() as opened:
        opened.process.send_signal(number)
        assert opened.end() == (code, "closed\n")


def test_the_lamp_key_goes_out_and_quitting_leaves_the_terminal_as_it_was() -> None:
    with terminal() as opened:
        opened.type(b"b")
        opened.until(b"blinks asked for")
        opened.type(b"q")
        assert opened.end() == (0, "lamp\nclosed\n")
        assert termios.tcgetattr(opened.slave) == opened.before


def test_a_mistake_of_ours_ends_in_a_sentence_and_lets_go_of_the_board() -> None:
    with terminal("broken") as opened:
        opened.type(b"b")
        code, told = opened.end()
        assert code == 70
        assert "the full screen stopped by a mistake of its own" in told
        assert "closed" in told
        assert b"Traceback" not in opened.shown


def test_no_color_means_none_and_an_empty_one_does_not_count() -> None:
    with terminal(NO_COLOR="1") as opened:
        assert not COLOUR.search(opened.shown)
    with terminal(NO_COLOR="") as opened:
        assert COLOUR.search(opened.shown)


def test_the_mouse_stays_with_the_terminal() -> None:
    with terminal() as opened:
        assert b"\x1b[?1000h" not in opened.shown
        assert b"\x1b[?1003h" not in opened.shown

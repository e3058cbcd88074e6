"""The screen as a process on a real pseudo-terminal: what only a terminal shows."""

import os
import re
import shutil
import signal
import subprocess
import sys
import termios
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

import pytest

from benchlink.faces.screen.program import is_monochrome
from tests.faces.screen.screen_terminal import PATIENCE_S, Terminal

ROOT = Path(__file__).parents[3]
COLOUR: Final = re.compile(rb"\x1b\[[0-9;]*\b(?:3[0-8]|4[0-8]|9[0-7])[;m]")
"""Any SGR that picks a colour other than the terminal's own (ECMA-48 8.3.117)."""
FIXED: Final = re.compile(rb"\x1b\[[0-9;]*\b[34]8[;:][25]")
"""One that looks the same on every terminal: red, green and blue, or by a number of 256."""


@contextmanager
def terminal(
    *arguments: str, kind: str = "xterm-256color", **environment: str
) -> Iterator[Terminal]:
    ordinary = {k: v for k, v in os.environ.items() if k != "NO_COLOR"}
    opened = Terminal(
        [sys.executable, "-m", "tests.faces.screen.screen_program", *arguments],
        ROOT,
        ordinary | environment,
        own_output=True,
        kind=kind,
    )
    try:
        opened.until("nobody's aircraft yet")
        opened.type("v")
        opened.until("two readings agree")
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
        opened.type("b")
        opened.until("blinks asked for")
        opened.type("q")
        assert opened.end() == (0, "lamp\nclosed\n")
        assert termios.tcgetattr(opened.slave) == opened.before


def test_a_mistake_of_ours_ends_in_a_sentence_and_lets_go_of_the_board() -> None:
    with terminal("broken") as opened:
        opened.type("b")
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


@pytest.mark.parametrize("kind", ["vt100", "vt220", "xterm-mono"])
def test_a_terminal_without_colour_is_sent_none_and_told_the_same(kind: str) -> None:
    with terminal(kind=kind, COLORTERM="truecolor") as opened:
        assert not COLOUR.search(opened.shown)
        assert "<> differs" in opened.text()
        assert "outputs resting" in opened.text()


@pytest.mark.parametrize("kind", ["xterm", "linux", "screen-256color", "tmux-256color"])
def test_other_terminals_are_sent_their_own_colours_only(kind: str) -> None:
    with terminal(kind=kind, COLORTERM="truecolor") as opened:
        assert COLOUR.search(opened.shown)
        assert not FIXED.search(opened.shown)


@pytest.mark.parametrize(
    ("kind", "without"),
    [("vt100", True), ("xterm-m", True), ("xterm", False), ("vte", False), ("", False)],
)
def test_terminals_without_colour_are_known_by_their_names(
    kind: str, *, without: bool
) -> None:
    assert is_monochrome(kind) is without


@pytest.mark.skipif(not shutil.which("tmux"), reason="there is no tmux")
def test_within_tmux_it_draws_listens_and_leaves(tmp_path: Path) -> None:
    tmux = ["tmux", "-S", str(tmp_path / "tmux"), "-f", os.devnull]
    program = f"{sys.executable} -m tests.faces.screen.screen_program"

    def run(*words: str) -> str:
        told = subprocess.run(
            [*tmux, *words],
            cwd=ROOT,
            check=False,  # a server that is still starting has no pane yet
            capture_output=True,
            text=True,
            timeout=PATIENCE_S,
        )
        return told.stdout

    def until(text: str) -> None:
        by = time.monotonic() + PATIENCE_S
        while text not in (seen := run("capture-pane", "-p")):
            assert time.monotonic() < by, seen

    # A pane stays when its program has ended, or its server would be gone as well.
    run("new-session", "-d", "-x", "80", "-y", "24", f"{program}; echo over; exec cat")
    try:
        until("nobody's aircraft yet")
        run("send-keys", "?")
        until("Choosing a board")
        run("send-keys", "q")
        until("nobody's aircraft yet")
        run("send-keys", "q")
        until("over")
    finally:
        run("kill-server")


def test_the_mouse_stays_with_the_terminal() -> None:
    with terminal() as opened:
        assert b"\x1b[?1000h" not in opened.shown
        assert b"\x1b[?1003h" not in opened.shown

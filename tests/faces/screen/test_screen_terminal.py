"""The screen as a process on a real pseudo-terminal: what only a terminal shows."""

import os
import re
import signal
import sys
import termios
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

import pytest

from tests.faces.screen.screen_terminal import Terminal

ROOT = Path(__file__).parents[3]
COLOUR: Final = re.compile(rb"\x1b\[[0-9;]*\b(?:3[0-8]|4[0-8]|9[0-7])[;m]")
"""Any SGR that picks a colour other than the terminal's own (ECMA-48 8.3.117)."""


@contextmanager
def terminal(*arguments: str, **environment: str) -> Iterator[Terminal]:
    ordinary = {k: v for k, v in os.environ.items() if k != "NO_COLOR"}
    opened = Terminal(
        [sys.executable, "-m", "tests.faces.screen.screen_program", *arguments],
        ROOT,
        ordinary | environment,
        own_output=True,
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


def test_the_mouse_stays_with_the_terminal() -> None:
    with terminal() as opened:
        assert b"\x1b[?1000h" not in opened.shown
        assert b"\x1b[?1003h" not in opened.shown

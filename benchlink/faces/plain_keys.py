"""A terminal's keyboard, key by key: what bytes came, as words.

The terminal is put into a mode without lines for the time of a block, and back whatever
happens. Terminals tell presses and repeats alike, and no release.
"""

import os
import select
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final, final

from benchlink.units import Seconds

if sys.platform != "win32":
    import termios
    import tty

MOST_BYTES: Final = 4096
"""Read at once; more is a paste in any case."""

Draw = Callable[[str], None]
"""Draws one line over the one before."""

GONE: Final = ("gone",)
"""Nobody can type any more."""

_SEQUENCES: Final = {
    b"\x1b[A": "up",
    b"\x1b[B": "down",
    b"\x1b[C": "right",
    b"\x1b[D": "left",
    b"\x1bOA": "up",
    b"\x1bOB": "down",
    b"\x1bOC": "right",
    b"\x1bOD": "left",
}
"""ECMA-48 cursor keys, and the same in application mode (DEC STD 070)."""
_WORDS: Final = {
    b"\r": "enter",
    b"\n": "enter",
    b" ": "space",
    b"\x1b": "escape",
    b"\x7f": "backspace",
    b"\x08": "backspace",
}
_CURSOR_BYTES: Final = 3
_INTRODUCERS: Final = (b"\x1b[", b"\x1bO")


@final
class NoKeys:
    """Nobody is there to press one."""

    def pressed(self, within: Seconds) -> tuple[str, ...]:  # noqa: ARG002 - the door's shape
        """Nobody."""
        return GONE

    def show(self, text: str) -> None:
        """Nobody looks."""


@final
class TerminalKeys:
    """The keys of an open terminal."""

    def __init__(self, terminal: int, draw: Draw) -> None:
        self._terminal: Final = terminal
        self._draw: Final = draw

    def show(self, text: str) -> None:
        """One line over the one before."""
        self._draw(text)

    def pressed(self, within: Seconds) -> tuple[str, ...]:
        """What came together within the time."""
        try:
            ready, _, _ = select.select([self._terminal], [], [], max(0.0, within))
            data = os.read(self._terminal, MOST_BYTES) if ready else None
        except (OSError, ValueError):
            return GONE
        if data is None:
            return ()
        return tuple(key_words(data)) if data else GONE


@contextmanager
def terminal_keys(terminal: int, draw: Draw) -> Iterator[TerminalKeys]:
    """Take the terminal's lines apart into keys, without showing them."""
    if sys.platform == "win32":
        yield TerminalKeys(terminal, draw)
        return
    before = termios.tcgetattr(terminal)
    try:
        # Signals stay: Ctrl-C interrupts here too.
        tty.setcbreak(terminal, termios.TCSAFLUSH)
        yield TerminalKeys(terminal, draw)
    finally:
        termios.tcsetattr(terminal, termios.TCSAFLUSH, before)


def key_words(data: bytes) -> Iterator[str]:
    """Every key in some bytes, as a word."""
    while data:
        if data[:2] in _INTRODUCERS and len(data) >= _CURSOR_BYTES:
            yield _SEQUENCES.get(data[:_CURSOR_BYTES], "other")
            data = data[_CURSOR_BYTES:]
            continue
        key, data = data[:1], data[1:]
        text = key.decode("ascii", "replace")
        yield _WORDS.get(key, text if text.isprintable() and key.isascii() else "other")

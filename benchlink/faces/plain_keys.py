"""A terminal's keyboard, key by key: what bytes came, as words.

The terminal is put into a mode without lines for the time of a block, and back whatever
happens. Terminals tell presses and repeats alike, and no release.
"""

import os
import re
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
_WHOLE: Final = re.compile(rb"\x1b(?:\[[0-?]*[ -/]*[@-~]|O[!-~])")
"""A control sequence: parameters, intermediates and a final byte (ECMA-48, 5.4); or one
byte shifted by SS3."""
_BEGUN: Final = re.compile(rb"\x1b(?:\[[0-?]*[ -/]*|O)?")
"""The same without its end; a lone ESC is a key as well."""
ESCAPE: Final = b"\x1b"
REST_WITHIN: Final = Seconds(0.025)
"""How soon the rest of a sequence comes where a read cut it: longer than the 16 ms for
which common adapters hold bytes back, shorter than anybody presses two keys."""


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
        data = self._read(within)
        if not data:
            return () if data is None else GONE
        while is_cut(data) and len(data) < MOST_BYTES:
            rest = self._read(REST_WITHIN)
            if not rest:  # a closed terminal is told at the next look
                break
            data += rest
        return tuple(key_words(data))

    def _read(self, within: Seconds) -> bytes | None:
        """What comes within the time; None for nothing, empty where nothing can."""
        try:
            ready, _, _ = select.select([self._terminal], [], [], max(0.0, within))
            return os.read(self._terminal, MOST_BYTES) if ready else None
        except (OSError, ValueError):
            return b""


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
    """Every key in some bytes, as a word; a sequence that is not known is one `other`."""
    while data:
        found = _WHOLE.match(data) or _BEGUN.match(data)
        key = found[0] if found else data[:1]
        data = data[len(key) :]
        yield _SEQUENCES.get(key) or _WORDS.get(key) or _as_typed(key)


def is_cut(data: bytes) -> bool:
    """Whether some bytes end in a sequence that may go on, or in a lone ESC."""
    last = data.rfind(ESCAPE)
    return last >= 0 and _BEGUN.fullmatch(data, last) is not None


def _as_typed(key: bytes) -> str:
    text = key.decode("ascii", "replace")
    plain = len(key) == 1 and key.isascii() and text.isprintable()
    return text if plain else "other"

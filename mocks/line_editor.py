"""The line that is being typed: echo, erase, abandon, line ends."""

import re
from dataclasses import dataclass
from typing import Final, final

CR: Final = 0x0D
LF: Final = 0x0A
ABANDON: Final = 0x15
"""Throws the line away."""
ERASERS: Final = frozenset({0x08, 0x7F})

_PRINTABLE: Final = re.compile(rb"[\x20-\x7e]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Edited:
    """What became of typed bytes."""

    upto: int
    echo: bytes
    line: str | None
    """The finished line, if one was finished."""


@final
class LineEditor:
    """A plain editor: what is printable is echoed, other bytes are keys or nothing.

    CR, LF and CR LF each end a line once. Bytes above 0x7E are ignored.
    """

    def __init__(self, prompt: bytes) -> None:
        self._prompt = prompt
        self._typed = bytearray()
        self._after_cr = False

    def wipe(self) -> None:
        """Forget what was typed."""
        self._typed.clear()
        self._after_cr = False

    def take(self, data: bytes | bytearray, start: int) -> Edited:
        """Take bytes from `start`, at most to the next line end."""
        echo = bytearray()
        at = start
        while at < len(data):
            run = _PRINTABLE.match(data, at)
            if run is not None:
                at = run.end()
                self._typed += run[0]
                echo += run[0]
                self._after_cr = False
                continue
            key = data[at]
            at += 1
            if self._ends_line(key):
                return Edited(upto=at, echo=bytes(echo + b"\r\n"), line=self._finish())
            echo += self._key(key)
        return Edited(upto=at, echo=bytes(echo), line=None)

    def _ends_line(self, key: int) -> bool:
        second_half = key == LF and self._after_cr
        self._after_cr = key == CR
        return key in {CR, LF} and not second_half

    def _finish(self) -> str:
        line = self._typed.decode("ascii")
        self._typed.clear()
        return line

    def _key(self, key: int) -> bytes:
        if key in ERASERS and self._typed:
            del self._typed[-1]
            return b"\b \b"
        if key == ABANDON:
            self._typed.clear()
            return b"\r\n" + self._prompt
        return b""

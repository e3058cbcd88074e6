"""A small terminal: bytes as they come, lines as a person would see them.

Keeps the raw bytes of a line beside its rendered text. Nothing is dropped: a byte
that is no text shows as an escape, so damage stays visible instead of turning into a
plausible value, and nothing a board says can act on the person's own screen.
"""

import re
from dataclasses import dataclass
from typing import Final, final

LONGEST_LINE: Final = 16_384
"""Bytes after which a line is ended by force: a board that never ends one cannot fill
the memory."""

_ESCAPE: Final = 0x1B
_CLEAN: Final = re.compile(rb"[\x20-\x7e]*\r?\Z")
_SEQUENCE: Final = re.compile(
    rb"\x1b(?:\[([0-9;?]*)[ -/]*([@-~])|\][^\x07\x1b]*(?:\x07|\x1b\\)|[@-Z\\^_a-z78=>])"
)
"""ECMA-48 control sequences, and the strings and short escapes beside them."""


@dataclass(frozen=True, slots=True)
class Line:
    """One finished line."""

    text: str
    raw: bytes


@final
class Terminal:
    """Cuts a byte stream into lines; any way of cutting the input gives the same."""

    def __init__(self) -> None:
        self._buffer = bytearray()
        self._searched = 0

    def feed(self, data: bytes) -> list[Line]:
        """Take bytes, give the lines that they finish."""
        self._buffer += data
        lines: list[Line] = []
        start = 0
        while True:
            end = self._buffer.find(b"\n", max(start, self._searched))
            if end < 0:
                break
            lines += self._finished(bytes(self._buffer[start : end + 1]))
            start = self._searched = end + 1
        del self._buffer[:start]
        self._searched = len(self._buffer)
        while len(self._buffer) > LONGEST_LINE:
            lines.append(_line(bytes(self._buffer[:LONGEST_LINE])))
            del self._buffer[:LONGEST_LINE]
            self._searched = len(self._buffer)
        return lines

    @property
    def partial(self) -> str:
        """The unfinished last line as it stands on the screen."""
        return render(bytes(self._buffer)) if self._buffer else ""

    @property
    def partial_raw(self) -> bytes:
        """Its bytes."""
        return bytes(self._buffer)

    def forget(self) -> None:
        """Drop the unfinished line: the board starts afresh."""
        self._buffer.clear()
        self._searched = 0

    @staticmethod
    def _finished(raw: bytes) -> list[Line]:
        """One line, or several where it was too long."""
        if len(raw) <= LONGEST_LINE:
            return [_line(raw)]
        return [
            _line(raw[i : i + LONGEST_LINE]) for i in range(0, len(raw), LONGEST_LINE)
        ]


def _line(raw: bytes) -> Line:
    return Line(render(raw.removesuffix(b"\n")), raw)


def render(raw: bytes) -> str:
    """What a terminal would show of one line, control characters made visible."""
    if _CLEAN.match(raw):
        return raw.removesuffix(b"\r").decode("ascii")
    return _drawn(raw.rstrip(b"\r"))


def _drawn(raw: bytes) -> str:
    """Play the bytes of a line onto a row of cells."""
    cells: list[str] = []
    column = 0
    at = 0
    while at < len(raw):
        sequence = _SEQUENCE.match(raw, at) if raw[at] == _ESCAPE else None
        if sequence:
            column = _moved(cells, column, sequence)
            at = sequence.end()
            continue
        char, width = _char_at(raw, at)
        at += width
        if char == "\r":
            column = 0
        elif char == "\b":
            column = max(0, column - 1)
        else:
            cells += [" "] * (column - len(cells))
            cells[column : column + 1] = [visible(char)]
            column += 1
    return "".join(cells)


def _char_at(raw: bytes, at: int) -> tuple[str, int]:
    """One character of UTF-8 and its bytes; a bad byte stands for itself, escaped."""
    for width in (1, 2, 3, 4):
        try:
            return raw[at : at + width].decode(), width
        except UnicodeDecodeError:
            continue
    return f"\\x{raw[at]:02x}", 1


def _moved(cells: list[str], column: int, sequence: re.Match[bytes]) -> int:
    """Obey cursor moves within the line and erasing; colours and the rest do nothing."""
    parameters, final_byte = sequence.group(1, 2)
    count = int(parameters) if parameters and parameters.isdigit() else 0
    # A move is never longer than a line may be, whatever the board says.
    count = min(count, LONGEST_LINE)
    match final_byte:
        case b"C":
            return min(column + max(count, 1), LONGEST_LINE)
        case b"D":
            return max(0, column - max(count, 1))
        case b"G":
            return max(count, 1) - 1
        case b"K" if count == 0:
            del cells[column:]
        case b"K":
            upto = len(cells) if count == 2 else column  # noqa: PLR2004 - ECMA-48 EL 2
            cells[:upto] = [" "] * upto
        case _:
            pass
    return column


def visible(char: str) -> str:
    """A character that shows, or its escape: nothing reaches a screen unseen."""
    if char.isprintable() or len(char) > 1:
        return char
    code = ord(char)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}"  # noqa: PLR2004

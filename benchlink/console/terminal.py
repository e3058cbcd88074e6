"""A small terminal: bytes as they come, lines as a person would see them.

Keeps the raw bytes of a line beside its rendered text. Nothing is dropped: for a byte
that shows as no character stands one that means nothing else (`core/stray`), so damage
never turns into a plausible value, and nothing a board says can act on the person's own
screen.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, final

from benchlink.console.charset import Charset

LONGEST_LINE: Final = 131_072
"""Bytes after which a line is ended by force: a board that never ends one cannot fill
the memory. Consoles that list everything in one line come near it."""
TAB: Final = 8
"""Columns from one tab stop to the next (ECMA-48 leaves it open; terminals use 8)."""
LONGEST_DRAWN: Final = 16_384
"""Columns of a line that is drawn with cursor moves."""

_ESCAPE: Final = "\x1b"
_LONGEST_COUNT: Final = 9
"""Digits of a move that are worth reading; it is cut to a line afterwards."""
_REDRAW: Final = b"\r\x1b[K"
"""Back to the first column and everything erased: the line begins anew."""
_CLEAN: Final = re.compile(rb"[\x20-\x7e]*\r?\Z")
_PLAIN: Final = re.compile(r"[^\x1b\r\x08\t]+")
_SEQUENCE: Final = re.compile(
    r"\x1b(?:\[([0-9;?]*)[ -/]*([@-~])|\][^\x07\x1b]*(?:\x07|\x1b\\)|[@-Z\\^_a-z78=>])"
)
"""ECMA-48 control sequences, and the strings and short escapes beside them."""


@dataclass(frozen=True, slots=True)
class Line:
    """One finished line."""

    text: str
    raw: bytes
    overdrawn: bool = False
    """Whether text that stood there was drawn over or erased: it is only in `raw`."""
    under: str = ""
    """What stood there unfinished before the line was begun anew."""
    charset: Charset = Charset.UNSAID
    """How its bytes were read."""


@final
class Terminal:
    """Cuts a byte stream into lines; any way of cutting the input gives the same."""

    def __init__(
        self, *, cr_ends: bool = False, charset: Charset = Charset.UNSAID
    ) -> None:
        self._cr_ends: Final = cr_ends
        self._charset: Final = charset
        self._buffer = bytearray()
        self._searched = 0
        self._shown: str | None = None
        """The unfinished line as it was drawn last; None where it has changed since."""
        self.under = ""
        """What stood under the unfinished line before it was begun anew."""

    def feed(self, data: bytes) -> list[Line]:
        """Take bytes, give the lines that they finish."""
        self._shown = None
        self._buffer += data.replace(b"\r", b"\n") if self._cr_ends else data
        lines: list[Line] = []
        start = 0
        while True:
            end = self._buffer.find(b"\n", max(start, self._searched))
            if end < 0:
                break
            forced, rest = self._shortened(bytes(self._buffer[start : end + 1]))
            lines += [*forced, self._line(rest)]
            self.under = ""
            start = self._searched = end + 1
        # Only the end was never looked at: long lines that come byte by byte cost no
        # more than others.
        fresh = max(0, self._searched - start - len(_REDRAW) + 1)
        del self._buffer[:start]
        if len(self._buffer) > LONGEST_LINE:
            forced, rest = self._shortened(bytes(self._buffer))
            lines += forced
            self._buffer[:], fresh = rest, 0
        redrawn = self._buffer.rfind(_REDRAW, fresh)
        if redrawn > 0:
            # A board that repaints an idle line for hours must not fill the memory.
            self.under = self.under or self._under(bytes(self._buffer))
            del self._buffer[:redrawn]
        self._searched = len(self._buffer)
        return lines

    @property
    def partial(self) -> str:
        """The unfinished last line as it stands on the screen."""
        if self._shown is None:
            self._shown = render(bytes(self._buffer), self._charset)
        return self._shown

    @property
    def partial_raw(self) -> bytes:
        """Its bytes."""
        return bytes(self._buffer)

    @property
    def partial_size(self) -> int:
        """How many bytes it has."""
        return len(self._buffer)

    def end_before(self, rest: str) -> Line:
        """End the unfinished line before the text that it ends with, as if it were two.

        One blank between the two belongs to neither. In the raw bytes stands a line end,
        so that they read like any other line.
        """
        raw, drawn = bytes(self._buffer), self._charset.said(rest)
        text = self.partial.removesuffix(rest).removesuffix(" ")
        overdrawn = not _CLEAN.match(raw) and _drawn(raw, self._charset).overdrawn
        before = raw.removesuffix(drawn).removesuffix(b" ") + b"\r\n"
        line = Line(text, before, overdrawn, self.under, self._charset)
        self.forget()
        self._buffer += drawn
        self._searched = len(drawn)
        return line

    def forget(self) -> None:
        """Drop the unfinished line: the board starts afresh."""
        self._buffer.clear()
        self._shown = None
        self._searched = 0
        self.under = ""

    def _shortened(self, raw: bytes) -> tuple[list[Line], bytes]:
        """Lines that are ended by force, and the rest; the same for any way of cutting."""
        forced: list[Line] = []
        while len(raw) > LONGEST_LINE:
            # One that is begun anew before it is too long begins there.
            begun = raw.rfind(_REDRAW, 1, LONGEST_LINE + 1)
            if begun > 0:
                self.under = self.under or self._under(raw)
                raw = raw[begun:]
                continue
            forced.append(self._line(raw[:LONGEST_LINE]))
            self.under = ""
            raw = raw[LONGEST_LINE:]
        return forced, raw

    def _line(self, raw: bytes) -> Line:
        under = self.under or self._under(raw)
        raw = raw[max(0, raw.rfind(_REDRAW)) :]
        body = raw.removesuffix(b"\n")
        if _CLEAN.match(body):
            return Line(render(body), raw, under=under, charset=self._charset)
        row = _drawn(body, self._charset)
        return Line(row.text, raw, row.overdrawn, under, self._charset)

    def _under(self, raw: bytes) -> str:
        """What stood before the first time that a line was begun anew."""
        begun = raw.find(_REDRAW)
        return render(raw[:begun], self._charset) if begun > 0 else ""


def render(raw: bytes, charset: Charset = Charset.UNSAID) -> str:
    """What a terminal would show of one line, with stand-ins for what does not show."""
    if _CLEAN.match(raw):
        return raw.removesuffix(b"\r").decode("ascii")
    return _drawn(raw, charset).text


@final
class _Row:
    """The cells of one line and the cursor in it."""

    def __init__(self) -> None:
        self.cells: Final[list[str]] = []
        self.column = 0
        self.inked = 0
        """How many cells are not blank."""
        self._first_ink = self._after_ink = 0
        """Only blanks stand before the one, and from the other on."""
        self.overdrawn = False
        self.drawn: int | None = None
        """How far text was drawn since the cursor last went back, if it ever did."""

    @property
    def text(self) -> str:
        """The row as it shows; blanks behind what was drawn last are erased text."""
        text = "".join(self.cells)
        if self.drawn is None:
            return text
        return text[: max(self.drawn, len(text.rstrip(" ")))]

    def put(self, chars: Sequence[str]) -> None:
        """Draw characters from the cursor on, each in a cell of its own."""
        at, after = self.column, self.column + len(chars)
        self.cells.extend(" " * (at - len(self.cells)))
        before = self.cells[at:after]
        self.overdrawn = self.overdrawn or any(
            old not in {" ", new} for old, new in zip(before, chars, strict=False)
        )
        self.cells[at:after] = chars
        inked = len(chars) - chars.count(" ")
        self.inked += inked - len(before) + before.count(" ")
        if inked:
            none = self._first_ink == self._after_ink
            self._first_ink = at if none else min(at, self._first_ink)
            self._after_ink = max(after, self._after_ink)
        self.column = after
        if self.drawn is not None:
            self.drawn = max(self.drawn, after)

    def erase(self, start: int, upto: int) -> None:
        """Make cells blank; what is blank already costs nothing."""
        start = max(start, self._first_ink)
        upto = min(upto, self._after_ink, len(self.cells))
        if start >= upto:
            return
        inked = upto - start - self.cells[start:upto].count(" ")
        self.overdrawn = self.overdrawn or inked > 0
        self.inked -= inked
        self.cells[start:upto] = [" "] * (upto - start)
        if start == self._first_ink:
            self._first_ink = upto
        elif upto == self._after_ink:
            self._after_ink = start


def _drawn(raw: bytes, charset: Charset) -> _Row:
    """Play the bytes of a line onto a row of cells."""
    text = charset.decode(raw.rstrip(b"\r"))
    row = _Row()
    at = 0
    while at < len(text):
        plain = _PLAIN.match(text, at)
        if plain:
            run = plain.group()
            row.put(run if run.isprintable() else "".join(map(charset.held, run)))
            at = plain.end()
            continue
        char = text[at]
        sequence = _SEQUENCE.match(text, at) if char == _ESCAPE else None
        if sequence:
            _move(row, sequence)
            at = sequence.end()
            continue
        at += 1
        if char == "\r":
            row.column = row.drawn = 0
        elif char == "\b":
            row.column = max(0, row.column - 1)
        elif char == "\t" and not row.inked and row.column < LONGEST_DRAWN:
            # Before any text a tab indents; behind it, it would hide in a value.
            row.column = (row.column // TAB + 1) * TAB
            row.cells.extend(" " * (row.column - len(row.cells)))
        else:
            row.put(charset.held(char))
    return row


def _move(row: _Row, sequence: re.Match[str]) -> None:
    """Obey cursor moves within the line and erasing; colours and the rest do nothing."""
    parameters, final = sequence.group(1, 2)
    known = parameters and parameters.isdigit()
    count = int(parameters[:_LONGEST_COUNT]) if known else 0
    # A move is never longer than a line may be, whatever the board says.
    count = min(count, LONGEST_DRAWN)
    match final:
        case "C":
            row.column = min(row.column + max(count, 1), LONGEST_DRAWN)
        case "D":
            row.column = max(0, row.column - max(count, 1))
        case "G":
            row.column = max(count, 1) - 1
        case "K" if count == 0:
            row.erase(row.column, len(row.cells))
            del row.cells[row.column :]
        case "K" if count == 1:
            # Up to and with the cell under the cursor (ECMA-48, EL 1).
            row.erase(0, row.column + 1)
        case "K" if count == 2:  # noqa: PLR2004 - ECMA-48, EL 2
            row.erase(0, len(row.cells))
        case _:
            pass


def cut_by_force(lines: list[Line]) -> bool:
    """Whether none of these lines ended by itself: each was cut for its length."""
    return bool(lines) and not any(line.raw.endswith(b"\n") for line in lines)

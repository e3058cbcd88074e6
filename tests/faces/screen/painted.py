"""What stands on a terminal that a full-screen program paints: ECMA-48, as far as needed."""

import re
from typing import Final, final

SEQUENCE: Final = re.compile(
    rb"\x1b\[([0-9;?<>=]*)[ -/]*([@-~])"  # control sequences
    rb"|\x1b[\]P_^X].*?(?:\x1b\\|\x07)"  # strings for the terminal itself
    rb"|\x1b[ -/]*[0-OQ-WYZ\\`-~]",  # single functions
    re.DOTALL,
)
BEGUN: Final = re.compile(
    rb"\x1b[^\x1b]{0,200}$|[\xc0-\xff][\x80-\xbf]{0,2}$", re.DOTALL
)
"""The end of a chunk that the next one may go on with."""

MOVES: Final = {b"A": (-1, 0), b"B": (1, 0), b"C": (0, 1), b"D": (0, -1)}
"""Rows down and columns to the right, a step each."""
OTHER_SCREEN: Final = b"?1049"


@final
class Painted:
    """A grid of characters; colours are nothing to it."""

    def __init__(self, columns: int, rows: int) -> None:
        self.columns: Final = columns
        self.rows: Final = rows
        self._grid = self._blank()
        self._row = self._column = 0
        self._kept = b""

    def feed(self, data: bytes) -> None:
        """Paint what a program wrote."""
        data, self._kept = self._kept + data, b""
        at = 0
        while at < len(data):
            if data[at] == 0x1B:
                found = SEQUENCE.match(data, at)
                if found is None:
                    self._kept = data[at:]
                    return
                if found[2] is not None:
                    self._control(found[1], found[2])
                at = found.end()
                continue
            end = data.find(b"\x1b", at)
            end = len(data) if end < 0 else end
            piece = data[at:end]
            if end == len(data) and (begun := BEGUN.search(piece)):
                self._kept = begun[0]
                piece = piece[: begun.start()]
            self._print(piece.decode("utf-8", "replace"))
            at = end

    def text(self) -> str:
        """All lines, without the blanks at their ends."""
        return "\n".join("".join(line).rstrip() for line in self._grid)

    def _print(self, text: str) -> None:
        for character in text:
            if character == "\r":
                self._column = 0
            elif character == "\n":
                self._feed_line()
            elif character == "\b":
                self._column = max(0, self._column - 1)
            elif character >= " ":
                if self._column >= self.columns:
                    self._column = 0
                    self._feed_line()
                self._grid[self._row][self._column] = character
                self._column += 1

    def _feed_line(self) -> None:
        if self._row + 1 < self.rows:
            self._row += 1
        else:
            self._grid = [*self._grid[1:], [" "] * self.columns]

    def _control(self, given: bytes, what: bytes) -> None:
        numbers = [int(n) if n.isdigit() else 0 for n in given.split(b";")]
        first = numbers[0]
        if what in b"Hf":
            self._row = max(1, first) - 1
            self._column = max(1, numbers[1] if len(numbers) > 1 else 1) - 1
        elif what in MOVES:
            down, right = MOVES[what]
            self._row = max(0, self._row + down * max(1, first))
            self._column = max(0, self._column + right * max(1, first))
        elif what == b"G":
            self._column = max(1, first) - 1
        elif what == b"K":
            self._wipe_line(first)
        elif what == b"J":
            self._wipe(first)
        elif given == OTHER_SCREEN:
            self._grid = self._blank()
        self._row = min(self._row, self.rows - 1)

    def _wipe_line(self, which: int) -> None:
        begin = self._column if which == 0 else 0
        end = self._column + 1 if which == 1 else self.columns
        self._grid[self._row][begin:end] = " " * (end - begin)

    def _wipe(self, which: int) -> None:
        if which:
            self._grid = self._blank()
            return
        self._wipe_line(0)
        for row in range(self._row + 1, self.rows):
            self._grid[row] = [" "] * self.columns

    def _blank(self) -> list[list[str]]:
        return [[" "] * self.columns for _ in range(self.rows)]

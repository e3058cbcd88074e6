"""The help page."""

import textwrap
from typing import TYPE_CHECKING, ClassVar, Final, final

from textual.binding import Binding, BindingType
from textual.widgets import Static

from benchlink.faces.screen.frame.keys import HELP_KEYS, foot, help_lines
from benchlink.faces.screen.frame.page import Page
from benchlink.faces.screen.frame.sheet import Sheet

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.widget import Widget

    from benchlink.faces.screen.frame.keys import Key
    from benchlink.faces.screen.frame.sheet import Piece

LEAST_CELLS: Final = 20
"""Narrower lines are cut: nothing can be read any more."""


@final
class HelpPage(Page):
    """Keys and states in words, in any window; all keys that people try close it."""

    KEYS: ClassVar[tuple["Key", ...]] = HELP_KEYS
    LEAST: ClassVar[tuple[int, int]] = (0, 0)

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("question_mark,f1,escape,q", "app.pop_screen", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._lines: tuple[str, ...] = help_lines()

    def parts(self) -> "Iterator[Widget]":
        """A heading, the lines, and how to leave."""
        yield Static("Help", id="title", markup=False)
        yield Sheet(self._line, id="lines")
        yield Static(foot(HELP_KEYS), id="keys", markup=False)

    def on_sheet_picked(self) -> None:
        """Enter, which the lines hear first, closes it as well."""
        self.app.pop_screen()

    def rewrite(self) -> None:
        """Break the lines for the width there is."""
        cells = max(LEAST_CELLS, self.cells - 2)
        self._lines = tuple(
            piece for line in help_lines() for piece in _broken(line, cells)
        )
        sheet = self.query_one(Sheet)
        sheet.show_rows(len(self._lines), sheet.cursor)

    def _line(self, index: int, _width: int) -> "list[Piece]":
        return [(self._lines[index], "")]


def _broken(line: str, cells: int) -> list[str]:
    """A line in pieces that fit, the later ones further in; blanks within it stay."""
    pieces = textwrap.wrap(line, cells, subsequent_indent="    ", drop_whitespace=False)
    return [piece.rstrip() for piece in pieces] or [""]

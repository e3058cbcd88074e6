"""The help page."""

from typing import TYPE_CHECKING, ClassVar, Final, final

from textual.binding import Binding, BindingType
from textual.widgets import Static

from benchlink.faces.screen.keys import help_lines
from benchlink.faces.screen.page import Page
from benchlink.faces.screen.sheet import Sheet

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.widget import Widget

    from benchlink.faces.screen.sheet import Piece


@final
class HelpPage(Page):
    """Keys and states in words; any of the keys that people try closes it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("question_mark,escape,q,enter", "app.pop_screen", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._lines: Final = help_lines()

    def parts(self) -> "Iterator[Widget]":
        """A heading, the lines, and how to leave."""
        yield Static("Help", id="title", markup=False)
        yield Sheet(self._line, id="lines")
        yield Static("up down scroll   q back", id="keys", markup=False)

    def on_mount(self) -> None:
        """Show the lines."""
        self.query_one(Sheet).show_rows(len(self._lines))

    def _line(self, index: int, _width: int) -> "list[Piece]":
        return [(self._lines[index], "")]

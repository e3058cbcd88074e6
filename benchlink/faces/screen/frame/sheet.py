"""A long list drawn line by line: a move of the cursor repaints two lines, not all."""

from collections.abc import Callable
from typing import ClassVar, Final, final

from rich.segment import Segment
from rich.style import Style
from textual.binding import Binding, BindingType
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

Piece = tuple[str, str]
"""Text and its style, in rich's words for styles."""

Draw = Callable[[int, int], list[Piece]]
"""Gives the pieces of one row, for a row number and a width in cells."""

CURSOR: Final = Style(reverse=True, bold=True)


@final
class Sheet(ScrollView, can_focus=True):
    """Rows under a cursor; the owner draws them and is told where the cursor went."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
        Binding("pageup", "page(-1)", show=False),
        Binding("pagedown", "page(1)", show=False),
        Binding("home", "jump(0)", show=False),
        Binding("end", "jump(-1)", show=False),
        Binding("enter", "pick", show=False),
    ]

    class Moved(Message):
        """The cursor stands on another row."""

    class Picked(Message):
        """Enter was pressed on the cursor's row."""

    def __init__(self, draw: Draw, *, id: str) -> None:  # noqa: A002 - textual's word
        super().__init__(id=id)
        self._draw_row: Final = draw
        self._count = 0
        self.cursor = 0
        """Number of the row under the cursor; 0 in an empty sheet."""

    def show_rows(self, count: int, cursor: int = 0) -> None:
        """Draw afresh with so many rows and the cursor on one of them."""
        self._count = count
        self.virtual_size = Size(1, count)
        self.cursor = self._clamped(cursor)
        self._bring_into_view()
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """One line of the screen."""
        index, width = y + round(self.scroll_y), self.size.width
        if not 0 <= index < self._count:
            return Strip.blank(width, self.rich_style)
        pieces = self._draw_row(index, width - 2)
        if index == self.cursor:
            text = "> " + "".join(text for text, _ in pieces)
            segments = [Segment(text, CURSOR)]
        else:
            segments = [Segment(text, Style.parse(style)) for text, style in pieces]
            segments.insert(0, Segment("  "))
        strip = Strip(segments).adjust_cell_length(width)
        return strip.apply_style(self.rich_style)

    def action_step(self, rows: int) -> None:
        """Move by single rows."""
        self._go(self.cursor + rows)

    def action_page(self, pages: int) -> None:
        """Move by what fits on the screen."""
        self._go(self.cursor + pages * max(1, self.size.height - 1))

    def action_jump(self, row: int) -> None:
        """Go to the first row, or with -1 to the last."""
        self._go(row if row >= 0 else self._count - 1)

    def action_pick(self) -> None:
        """Tell the owner that this row is meant."""
        if self._count:
            self.post_message(self.Picked())

    def on_resize(self) -> None:
        """Keep the cursor visible in a smaller window."""
        self._bring_into_view()

    def _go(self, row: int) -> None:
        before, self.cursor = self.cursor, self._clamped(row)
        if before == self.cursor:
            return
        for index in (before, self.cursor):
            top = index - round(self.scroll_y)
            self.refresh(Region(0, top, self.size.width, 1))
        self._bring_into_view()
        self.post_message(self.Moved())

    def _clamped(self, row: int) -> int:
        return max(0, min(row, self._count - 1))

    def _bring_into_view(self) -> None:
        top, height = round(self.scroll_y), self.size.height
        if height <= 0:
            return
        if self.cursor < top:
            self.scroll_to(y=self.cursor, animate=False)
        elif self.cursor >= top + height:
            self.scroll_to(y=self.cursor - height + 1, animate=False)

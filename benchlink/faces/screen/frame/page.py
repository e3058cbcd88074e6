"""What all pages share: they say so when the window is too small, and recover."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, ClassVar, Final

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Static

from benchlink.faces.screen.frame.safe_text import plain_lines

if TYPE_CHECKING:
    from benchlink.faces.screen.frame.keys import Key
    from benchlink.faces.screen.frame.offers import Offer

LEAST_COLUMNS: Final = 60
LEAST_LINES: Final = 16
ROOMY_LINES: Final = 20
"""From here on the detail lines get all their room."""


class Page(Screen[None]):
    """A screen of ours."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("f1", "help", show=False)]
    KEYS: ClassVar[tuple["Key", ...]] = ()
    """Its keys in words."""
    LEAST: ClassVar[tuple[int, int]] = (LEAST_COLUMNS, LEAST_LINES)
    """Columns and lines that it needs."""
    WAY_OUT: ClassVar[str] = "q to quit"
    """What else can be done in a window that is too small."""

    def compose(self) -> ComposeResult:
        """The page's own parts, and what to say when they do not fit."""
        yield from self.parts()
        yield Static("", id="small", markup=False)

    def parts(self) -> Iterator[Widget]:
        """The page's own widgets, from top to bottom."""
        return iter(())

    def rewrite(self) -> None:
        """Write everything again for the width there is now."""

    @property
    def idle(self) -> frozenset[str]:
        """Those of its keys that do nothing now."""
        return frozenset()

    def offers(self) -> "Iterator[Offer]":
        """What can be done here now beside what its keys do."""
        return iter(())

    def action_help(self) -> None:
        """Show the help."""
        from benchlink.faces.screen.frame.help import HelpPage  # noqa: PLC0415 - first paint

        self.app.push_screen(HelpPage())

    def on_resize(self) -> None:
        """Fit the page to the window, or say what it needs."""
        width, height = self.app.size
        was_small = self.is_small
        columns, lines = self.LEAST
        small = width < columns or height < lines
        self.set_class(small, "-small")
        self.set_class(height < ROOMY_LINES, "-low")
        if small:
            self.query_one("#small", Static).update(
                f"This window has {width} columns and {height} lines;"
                f" {columns} and {lines} are needed."
                f" Make it larger, or {self.WAY_OUT}; f1 for help."
            )
            return
        self.rewrite()
        if was_small:
            self.call_after_refresh(self.refocus)

    def refocus(self) -> None:
        """A part that did not show has lost the keys: they are for it again."""
        if self.focused is None:
            self.focus_next()

    def write(self, where: str, text: str) -> None:
        """Put plain text into a part."""
        self.query_one(f"#{where}", Static).update(plain_lines(text))

    @property
    def is_small(self) -> bool:
        """Whether the window is too small for the page."""
        return self.has_class("-small")

    @property
    def details_most(self) -> int:
        """How many single cases of an error there is room for."""
        return 4 if self.app.size.height >= ROOMY_LINES else 1

    @property
    def cells(self) -> int:
        """Width for one line of text."""
        return max(0, self.app.size.width - 2)

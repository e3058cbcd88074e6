"""Settings as rows under filters and a search, with marks on them; it asks no board."""

from typing import TYPE_CHECKING, ClassVar, Final

from textual import events
from textual.binding import Binding, BindingType
from textual.widgets import Static

from benchlink.faces.screen.frame.keys import foot
from benchlink.faces.screen.frame.page import Page
from benchlink.faces.screen.frame.sheet import Sheet
from benchlink.faces.screen.values import values_words
from benchlink.faces.screen.values.columns import columns, heads, pieces
from benchlink.faces.screen.values.search_line import SearchLine
from benchlink.faces.screen.values.view import STATES

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from textual.content import Content
    from textual.widget import Widget

    from benchlink.faces.screen.frame.sheet import Piece
    from benchlink.faces.screen.threads.rows import Row
    from benchlink.faces.screen.values.columns import Columns
    from benchlink.faces.screen.values.values_state import ValuesState

ABOVE: Final = ("who", "link", "held", "left", "notice", "counts", "owners", "heads")
BELOW: Final = ("detail", "says", "keys")
"""Parts around the rows, from top to bottom."""
MARKING: Final = frozenset({"enter", "space", "x", "w"})
"""Keys that do nothing where the board is held against nothing."""
ROOMY_DETAIL_LINES: Final = 30
"""From here on a long reason has room in the detail lines."""


class ValuesList(Page):
    """Its state is replaced as a whole; what reads otherwise then is written anew."""

    BINDINGS: ClassVar[list[BindingType]] = [
        # Before any widget sees the key, or letters close behind were taken for keys.
        Binding("slash", "search", show=False, priority=True),
        Binding("escape", "unsearch", show=False),
        *(Binding(str(k), f"see('only', {k})", show=False) for k in range(len(STATES))),
        Binding("left", "see('state', -1)", show=False),
        Binding("right", "see('state', 1)", show=False),
        Binding("o", "see('owner', 1)", show=False),
        Binding("O", "see('owner', -1)", show=False),
        Binding("c", "see('changed', 1)", show=False),
        Binding("space", "mark(True)", show=False),
        Binding("x", "mark(False)", show=False),
    ]

    def __init__(self, state: "ValuesState", name: str) -> None:
        """Begin where a page before it ended, the cursor on the row of that name."""
        super().__init__()
        self.state = state
        self._begin_at: Final = name
        # Not looked up when they are written: news may come before they stand there, and
        # after they went.
        self._sheet: Final = Sheet(self._line, id="rows")
        self._statics: Final = {
            name: Static("", id=name, markup=False) for name in (*ABOVE, *BELOW)
        }
        self._written: Final[dict[str, str | Content | None]] = {}

    def parts(self) -> "Iterator[Widget]":
        """From the board down to the keys."""
        yield from (self._statics[name] for name in ABOVE)
        yield self._sheet
        yield from (self._statics[name] for name in BELOW)

    def on_mount(self) -> None:
        """Show what is known already."""
        self._show_rows(self._begin_at)

    @property
    def row(self) -> "Row | None":
        """The one under the cursor."""
        cursor, rows = self._sheet.cursor, self.state.shown.rows
        return rows[cursor] if cursor < len(rows) else None

    @property
    def absent(self) -> frozenset[str]:
        """Keys that the foot line does without, for there is nothing to do with them."""
        marking = frozenset() if self.state.compared else MARKING
        return marking if self.state.copied else marking | {"c"}

    def turn(self, state: "ValuesState") -> None:
        """Show another state, the cursor on the row where it was."""
        row, before, self.state = self.row, self.state, state
        if state.shown is not before.shown:
            self._show_rows(row.name if row else "")
        elif state.choices != before.choices:
            self._sheet.refresh()
        self.rewrite()

    def tell(self, sentence: str) -> None:
        """Show a sentence."""
        self.turn(self.state.told(sentence))

    # Keys.

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While a search is typed, a key that comes before it is a letter."""
        if action == "search":
            return not self.state.search.typing
        return super().check_action(action, parameters)

    def on_key(self, event: events.Key) -> None:
        """While a search is typed, keys with a character belong to it."""
        line = self.state.search
        if not line.typing:
            return
        pressed = line.pressed(event.key, event.character)
        if pressed is not None:
            self.turn(self.state.looked_for(pressed))
            event.stop()
            event.prevent_default()

    def on_paste(self, event: events.Paste) -> None:
        """Pasted text joins the search."""
        if self.state.search.typing:
            line = self.state.search.pasted(event.text)
            self.turn(self.state.looked_for(line))
        event.stop()

    def on_sheet_moved(self) -> None:
        """Tell about another row."""
        self.rewrite()

    def action_search(self) -> None:
        """Begin to type a search, or go on with one."""
        line = SearchLine(text=self.state.search.text, typing=True)
        self.turn(self.state.looked_for(line))

    def action_unsearch(self) -> None:
        """Show every name again."""
        self.turn(self.state.looked_for(SearchLine()))

    def action_see(self, what: str, by: int) -> None:
        """Show other rows."""
        self.turn(self.state.seen(what, by))

    def action_mark(self, one: bool) -> None:  # noqa: FBT001 - a key gives no names
        """Apply or leave the row under the cursor, or all that show."""
        row = self.row
        if row is not None or not one:
            self.turn(self.state.turned(row if one else None))

    # What stands where.

    def rewrite(self) -> None:
        """Whatever reads otherwise than it stands there."""
        self.set_class(self.app.size.height >= ROOMY_DETAIL_LINES, "-roomy")
        for part, text in self.texts().items():
            if part not in self._written or not _same(self._written[part], text):
                self._written[part] = text
                static = self._statics[part]
                static.set_class(text is not None, "-told")
                static.update(text or "")

    def texts(self) -> "Mapping[str, str | Content | None]":
        """What each part says; None where a part that shows only then has nothing to say."""
        state, cells = self.state, self.cells
        keys = tuple(key for key in self.KEYS if key.key not in self.absent)
        return {
            "held": values_words.held(state, cells),
            "counts": values_words.counts(state.shown, cells),
            "owners": values_words.owners(state.shown, state.facts, cells),
            "heads": "  " + heads(self._layout(max(0, cells - 2))),
            "detail": values_words.detail(self.row, state, cells),
            "says": values_words.says(state, self._sheet.cursor, cells),
            "keys": foot(keys, cells),
        }

    def _show_rows(self, name: str) -> None:
        names = [row.name for row in self.state.shown.rows]
        cursor = names.index(name) if name in names else 0
        self._sheet.show_rows(len(names), cursor)

    def _layout(self, width: int) -> "Columns":
        state = self.state
        return columns(width, compared=state.compared, copied=state.copied)

    def _line(self, index: int, width: int) -> "list[Piece]":
        row = self.state.shown.rows[index]
        return pieces(row, self._layout(width), self.state.choices.word(row))


def _same(one: "str | Content | None", other: "str | Content | None") -> bool:
    """Whether they look alike: textual's own contents compare by their letters only."""
    if isinstance(one, str) or isinstance(other, str) or one is None or other is None:
        return one == other
    return one.plain == other.plain and one.spans == other.spans

"""The values page: a board's settings against a profile."""

from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar, Final, final

from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widgets import Static

from benchlink.errors import BenchError, PortLostError, WrongBoardError
from benchlink.faces.screen import wording
from benchlink.faces.screen.columns import columns, heads, pieces
from benchlink.faces.screen.help import HelpPage
from benchlink.faces.screen.keys import VALUES_KEYS, foot
from benchlink.faces.screen.marks import MARKS
from benchlink.faces.screen.news import Errand
from benchlink.faces.screen.page import Page
from benchlink.faces.screen.rows import Row, View
from benchlink.faces.screen.sheet import Sheet

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.widget import Widget

    from benchlink.core.doors import LinkHealth
    from benchlink.faces.screen.news import Checked, Failed, Opened, Progressed, Read
    from benchlink.faces.screen.sheet import Piece

CHECK_EVERY_S: Final = 1.0
LAMP_SLOT: Final = "lamp"
LOST_HINT: Final = "p goes back to the list of ports; the values below are from before."
STALE_HINT: Final = "r reads again; the values below are from before."
RESTARTED: Final = "the board has restarted since this reading: r reads again"
FILTERS: Final = (None, *MARKS)

Stand = tuple[View, str]
"""Which rows are shown, and the name under the cursor."""
AT_FIRST: Final[Stand] = (View(), "")

TITLES: Final = {
    Errand.READ: "NOT READ",
    Errand.CHECK: "NO ANSWER",
}


@final
class ValuesPage(Page):
    """One board, from meeting it to letting it go."""

    BINDINGS: ClassVar[list[BindingType]] = [
        # Before any widget sees the key: this is the way that live lines will take.
        Binding("b", "blink", show=False, priority=True),
        Binding("r", "read", show=False),
        # Also first, or letters typed close behind would be taken for keys.
        Binding("slash", "search", show=False, priority=True),
        *(Binding(str(k), f"only({k})", show=False) for k in range(len(FILTERS))),
        Binding("left", "turn(-1)", show=False),
        Binding("right", "turn(1)", show=False),
        Binding("escape", "unsearch", show=False),
        Binding("h", "home", show=False),
        Binding("p", "ports", show=False),
        Binding("question_mark", "help", show=False),
        Binding("q", "app.quit", show=False),
    ]

    class ReadWanted(Message):
        """The settings shall be read."""

    class CheckWanted(Message):
        """The board shall be asked whether it is still there."""

    class HomeWanted(Message):
        """Back to the steps of the job."""

    class PortsWanted(Message):
        """The board shall be let go."""

    def __init__(self, opened: "Opened", stand: Stand = AT_FIRST) -> None:
        """It shows what stood there before, until the board was read."""
        super().__init__()
        self.bench: Final = opened.bench
        self.session = opened.bench.session
        """As it was met last; renewed by every check."""
        self.intent: Final = opened.intent
        self._health: LinkHealth = opened.health
        self._trouble: BenchError | None = opened.trouble
        self._left: Final = opened.left
        self._title = "NOT COMPARED"
        self._hint = ""
        self._lost = False
        self._pending: set[Errand] = set()
        self._view, self._begin_at = stand
        self._shown: tuple[Row, ...] = ()
        self._searching = False
        self._message = ""
        self._blinks = 0

    def parts(self) -> "Iterator[Widget]":
        """From the board down to the keys."""
        for name in ("who", "link", "held", "left", "notice", "counts", "heads"):
            yield Static("", id=name, markup=False)
        yield Sheet(self._line, id="rows")
        for name in ("detail", "says"):
            yield Static("", id=name, markup=False)
        yield Static(foot(VALUES_KEYS), id="keys", markup=False)

    def on_mount(self) -> None:
        """Read at once, and from then on see that the board stays."""
        self._apply(self._view, self._begin_at)
        self._want(Errand.READ)
        self.set_interval(CHECK_EVERY_S, self.check)

    @property
    def stand(self) -> Stand:
        """For the next page of these values."""
        return self._view, self._row.name if self._row else ""

    # What the work thread brings.

    def take_read(self, read: "Read") -> None:
        """Show a finished reading, the cursor where it was."""
        self._pending.discard(Errand.READ)
        self._health = read.health
        self.session = replace(self.session, epoch=read.epoch)
        if self._title != "NOT COMPARED":
            self._trouble = None
        self._message = f"read {len(read.rows)} lines, two readings agree"
        self._apply(replace(self._view, rows=read.rows))
        self.rewrite()

    def take_checked(self, checked: "Checked") -> None:
        """Show a board that is still there."""
        self._pending.discard(Errand.CHECK)
        if checked.session.epoch != self.session.epoch:
            self._message = RESTARTED
        self.session, self._health = checked.session, checked.health
        self._write_head()
        self._write_says()

    def take_failed(self, failed: "Failed") -> None:
        """Say what failed; a port or board that went away stays so."""
        self._pending.discard(failed.errand)
        self._fail(failed.error, TITLES[failed.errand])

    def take_progress(self, progress: "Progressed") -> None:
        """Show how far the reading has come."""
        if Errand.READ in self._pending:
            of = f" of {progress.total:,}" if progress.total else ""
            self._message = f"{progress.what}: {progress.done:,}{of} bytes"
            self._write_says()

    def tell(self, sentence: str) -> None:
        """Show a sentence."""
        self._message = sentence
        self._write_says()

    # Keys.

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While a search is typed, `b` and `/` are letters."""
        if action in {"blink", "search"}:
            return not self._searching
        return super().check_action(action, parameters)

    def on_key(self, event: events.Key) -> None:
        """While a search is typed, keys with a character belong to it."""
        if not self._searching:
            return
        if event.key in {"escape", "enter"}:
            self._searching = False
            self._search(self._view.search if event.key == "enter" else "")
        elif event.key == "backspace":
            self._search(self._view.search[:-1])
        elif event.character and event.character.isprintable():
            self._search(self._view.search + event.character)
        else:
            return
        event.stop()
        event.prevent_default()

    def on_paste(self, event: events.Paste) -> None:
        """Pasted text joins the search, its first line only."""
        if self._searching:
            first = event.text.strip().partition("\n")[0]
            self._search(self._view.search + "".join(filter(str.isprintable, first)))
        event.stop()

    def on_sheet_moved(self) -> None:
        """Tell about another row."""
        self._write_detail()
        self._write_says()

    def action_blink(self) -> None:
        """Hand a blink to the live lane and return at once."""
        grammar = self.session.grammar
        if not grammar.can("blink"):
            self.tell("this board's console has no way to blink a lamp")
            return
        if self._lost:
            self.tell("lamp: nothing was sent, the board is gone")
            return
        try:
            self.session.board.live(LAMP_SLOT, grammar.single("blink"))
        except BenchError as exc:
            self._fail(exc, "NOT SENT")
            return
        self._blinks += 1
        self.tell(f"lamp: blinks asked for: {self._blinks}")

    def action_read(self) -> None:
        """Read again."""
        self._want(Errand.READ)

    def action_search(self) -> None:
        """Begin to type a search."""
        self._searching = True
        self._write_says()

    def action_unsearch(self) -> None:
        """Show every name again."""
        self._search("")

    def action_only(self, number: int) -> None:
        """Show only one state."""
        self._apply(replace(self._view, only=FILTERS[number]))

    def action_turn(self, by: int) -> None:
        """The filter beside this one."""
        now = FILTERS.index(self._view.only)
        self.action_only((now + by) % len(FILTERS))

    def action_home(self) -> None:
        """Back to the steps."""
        self.post_message(self.HomeWanted())

    def action_ports(self) -> None:
        """Let go of the board."""
        self.post_message(self.PortsWanted())

    def action_help(self) -> None:
        """Show the help."""
        self.app.push_screen(HelpPage())

    # Errands.

    def check(self) -> None:
        """Ask for a check, unless something else shows that the board is there."""
        if not self._pending and not self._lost and not self._needs_reading:
            self._want(Errand.CHECK)

    @property
    def _needs_reading(self) -> bool:
        """A board that fell silent is left alone until the person reads again."""
        return self._hint == STALE_HINT and self._trouble is not None

    def _want(self, errand: Errand) -> None:
        if self._lost or errand in self._pending:
            return
        self._pending.add(errand)
        if errand is Errand.READ:
            self._message = "reading ..."
            self._write_says()
            self.post_message(self.ReadWanted())
        else:
            self.post_message(self.CheckWanted())

    def _fail(self, error: BenchError, title: str) -> None:
        if self._lost:
            return
        self._message = ""
        self._trouble = error
        self._lost = isinstance(error, PortLostError | WrongBoardError)
        if isinstance(error, WrongBoardError):
            title = "ANOTHER BOARD"
        elif self._lost:
            title = "PORT LOST"
        self._title, self._hint = title, LOST_HINT if self._lost else STALE_HINT
        # What was said of the outputs before the trouble proves nothing now.
        self.session = replace(self.session, readiness=None)
        self.rewrite()

    # What stands where.

    def rewrite(self) -> None:
        """Everything, for the width there is now."""
        self._write_head()
        notice = self.query_one("#notice", Static)
        notice.display = self._trouble is not None
        if self._trouble is not None:
            text = wording.trouble(self._trouble, self._title, self.details_most)
            notice.update(text + f"\n{self._hint}" if self._hint else text)
        layout = columns(self._row_cells, compared=self.intent is not None)
        self.write("heads", "  " + heads(layout))
        self.query_one(Sheet).refresh()
        self._write_counts()
        self._write_detail()
        self._write_says()

    def _write_head(self) -> None:
        self.query_one("#who", Static).update(wording.who(self.session, self.cells))
        self.write("link", wording.link(self.session, self._health, self.cells))
        self.write("held", wording.held(self.intent, self.cells))
        self.query_one("#left", Static).display = bool(self._left)
        self.write("left", "\n".join(self._left))

    def _write_counts(self) -> None:
        self.query_one("#counts", Static).update(wording.counts(self._view, self.cells))

    def _write_detail(self) -> None:
        if not self._view.rows:
            self.write("detail", "")
            return
        self.write("detail", wording.detail(self._row, self.cells))

    def _write_says(self) -> None:
        left = self._message
        if self._searching:
            left = f"search: {self._view.search}_"
        elif self._view.search:
            left = f"names with {self._view.search!r}   {self._message}"
        at = self.query_one(Sheet).cursor + 1 if self._shown else 0
        right = f"row {at} of {len(self._shown)}"
        self.write("says", wording.ends(left, right, self.cells))

    @property
    def _row(self) -> Row | None:
        cursor = self.query_one(Sheet).cursor
        return self._shown[cursor] if cursor < len(self._shown) else None

    @property
    def _row_cells(self) -> int:
        return max(0, self.cells - 2)

    def _search(self, text: str) -> None:
        self._apply(replace(self._view, search=text))

    def _apply(self, view: View, name: str = "") -> None:
        """Show other rows, with the cursor on a name or where it was."""
        name = name or self.stand[1]
        self._view, self._shown = view, view.shown
        names = [shown.name for shown in self._shown]
        cursor = names.index(name) if name in names else 0
        self.query_one(Sheet).show_rows(len(self._shown), cursor)
        self._write_counts()
        self._write_detail()
        self._write_says()

    def _line(self, index: int, width: int) -> "list[Piece]":
        layout = columns(width, compared=self.intent is not None)
        return pieces(self._shown[index], layout)

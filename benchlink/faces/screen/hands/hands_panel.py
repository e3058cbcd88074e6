"""The hands over whatever page shows: each key does one thing at the simulated bench.

It stands at the top, so that the question of a station and what is typed there show.
"""

from typing import TYPE_CHECKING, ClassVar, Final, final

from textual.containers import Vertical, VerticalScroll
from textual.message import Message
from textual.screen import ModalScreen
from textual.widgets import Static

from benchlink.faces.hand_keys import COLUMNS, SIDE_KEY, words_of
from benchlink.faces.screen.frame.fitting import fitted
from benchlink.faces.screen.frame.page import LEAST_COLUMNS, LEAST_LINES
from benchlink.faces.screen.frame.safe_text import plain, plain_lines

if TYPE_CHECKING:
    from textual import events
    from textual.app import ComposeResult
    from textual.timer import Timer

    from benchlink.faces.screen.hands.hands_desk import HandsDesk

THREE_COLUMNS: Final = 76
KEY_CELLS: Final = 6
LEFT_FOR_THE_PAGE: Final = 14
"""Lines that the deeds leave to all else, the page below included."""
LEAST_ROWS: Final = 3
BURST_WITHIN_S: Final = 0.15
"""Keys closer together than this are no deeds but words, or a key that is held down."""
TYPED_WITHIN_S: Final = 0.3
"""The same while a line is asked for below: words are typed, and not always fast."""
WORD_KEYS: Final = frozenset({"enter", "backspace"})
TYPING: Final = "Keys go to your hands: f2 closes this, then type below."
HELP_KEYS: Final = frozenset({"f1", "question_mark"})


@final
class HandsPanel(ModalScreen[None]):
    """Deeds by their keys, what came of the last one, and how the bench stands."""

    AUTO_FOCUS: ClassVar[str | None] = ""

    class AnswerWanted(Message):
        """A reading shall stand in the answer of the station below."""

        def __init__(self, text: str) -> None:
            super().__init__()
            self.text: Final = text

    def __init__(self, desk: "HandsDesk") -> None:
        super().__init__()
        self._desk: Final = desk
        self._held: Final[list[str]] = []
        """Keys that may turn out to be a word."""
        self._quiet: Timer | None = None

    def compose(self) -> "ComposeResult":
        """From how the bench stands down to the keys."""
        with Vertical(id="hands"):
            yield Static("", id="stands", markup=False)
            with VerticalScroll(id="deeds", can_focus=False):
                yield Static("", id="deed-keys", markup=False)
            yield Static("", id="hint", markup=False)
            yield Static(TYPING, id="typing", markup=False)
            yield Static("", id="said", markup=False)
            yield Static("", id="came", markup=False)
            yield Static("", id="hand-keys", markup=False)

    def on_mount(self) -> None:
        """Look at the bench first: what has moved meanwhile?"""
        self._desk.changed = self.rewrite
        self._desk.open()
        self.rewrite()

    def on_unmount(self) -> None:
        """What moves from now on is told at the next opening."""
        self._desk.leave()

    def on_resize(self) -> None:
        """Fit in, or leave the page alone to say what it needs."""
        width, height = self.app.size
        small = width < LEAST_COLUMNS or height < LEAST_LINES
        self.query_one("#hands").display = not small
        rows = max(LEAST_ROWS, height - LEFT_FOR_THE_PAGE)
        self.query_one("#deeds").styles.max_height = rows
        self.rewrite()

    def on_key(self, event: "events.Key") -> None:
        """Every key is ours; one that does nothing here does nothing at all."""
        event.stop()
        event.prevent_default()
        if self._is_typing(event):
            self._hold(event.key)
        else:
            self._press(event.key)

    @property
    def holds(self) -> bool:
        """Whether a key still waits to be taken for one."""
        return bool(self._held)

    def _is_typing(self, event: "events.Key") -> bool:
        """Keys that words are made of; with one of them held, those that end a word too."""
        if event.key in HELP_KEYS:
            return False
        return event.is_printable or (self.holds and event.key in WORD_KEYS)

    def _hold(self, key: str) -> None:
        """A word that was meant for the page below is no row of deeds."""
        self._held.append(key)
        if self._quiet is not None:
            self._quiet.stop()
        typing = TYPED_WITHIN_S if self._desk.asks_line else BURST_WITHIN_S
        self._quiet = self.set_timer(typing, self._take_held)

    def _take_held(self) -> None:
        held = tuple(self._held)
        self._held.clear()
        if len(held) == 1:
            self._press(held[0])
        else:
            self._desk.drop(len(held))

    def _press(self, key: str) -> None:
        desk = self._desk
        if key == "escape":
            self.close()
        elif key in HELP_KEYS:
            from benchlink.faces.screen.frame.help import HelpPage  # noqa: PLC0415 - when asked

            self.app.push_screen(HelpPage())
        elif key == SIDE_KEY:
            desk.turn()
        elif key in {"pageup", "pagedown"}:
            way = -1 if key == "pageup" else 1
            self.query_one("#deeds").scroll_relative(y=way * LEAST_ROWS, animate=False)
        elif key == "enter" and desk.reading:
            text, desk.reading = desk.reading, ""
            self.post_message(self.AnswerWanted(text))
        elif words := words_of(key, desk.look, desk.side):
            desk.want(words)

    def close(self) -> None:
        """Give the keyboard back to the page below."""
        if self.app.screen is self:
            self.app.pop_screen()

    def rewrite(self) -> None:
        """Everything for the width there is, and how the bench stands now."""
        desk = self._desk
        self._write("stands", f"Your hands: {desk.look}")
        self._write("deed-keys", "\n".join(self._rows()))
        self._write("hint", desk.hint)
        self.query_one("#typing").display = desk.asks_line
        self._write("said", plain(desk.said))
        self._write("came", f"> {desk.done.sentence}" if desk.done.sentence else "")
        use = f"   enter {desk.reading} into the answer" if desk.reading else ""
        self._write("hand-keys", f"f2 escape close   f1 help{use}")

    def _rows(self) -> list[str]:
        width = self.app.size.width - 2
        desk = self._desk
        columns = [[key for key, _ in column] for column in COLUMNS]
        if width < THREE_COLUMNS:
            keys = [key for column in columns for key in column]
            half = (len(keys) + 1) // 2
            columns = [keys[:half], keys[half:]]
        cells = width // len(columns)
        rows = []
        for row in range(max(map(len, columns))):
            pieces = (
                f"{key:<{KEY_CELLS}}{words_of(key, desk.look, desk.side)}"
                for column in columns
                if row < len(column)
                for key in (column[row],)
            )
            rows.append("".join(fitted(piece, cells) for piece in pieces))
        return rows

    def _write(self, where: str, text: str) -> None:
        self.query_one(f"#{where}", Static).update(plain_lines(text))

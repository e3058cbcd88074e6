"""The first page: which board?"""

from typing import TYPE_CHECKING, ClassVar, Final, final

from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widgets import Static

from benchlink.faces.screen.frame.keys import OPENING_KEYS, foot
from benchlink.faces.screen.frame.page import Page
from benchlink.faces.screen.frame.safe_text import plain
from benchlink.faces.screen.frame.sheet import Sheet

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.widget import Widget

    from benchlink.errors import BenchError
    from benchlink.faces.screen.frame.keys import Key
    from benchlink.faces.screen.frame.sheet import Piece
    from benchlink.faces.screen.threads.entrance import Place

LOOK_EVERY_S: Final = 0.25
NO_PORT: Final = "No port yet. Is the cable for charging only? Plug a board in: it will show up here."
TOLD_MOST: Final = 12
TOLD_BEFORE_ERROR: Final = 2
"""What was said last often explains an error; more would push it away."""


@final
class OpeningPage(Page):
    """Ports that come and go, and a simulated aircraft that is always there."""

    KEYS: ClassVar[tuple["Key", ...]] = OPENING_KEYS
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("r", "rehearse", show=False),
        Binding("question_mark", "help", show=False),
        Binding("q", "app.quit", show=False),
    ]

    class LookWanted(Message):
        """Time to look for ports again."""

    class OpenWanted(Message):
        """A port, or with None a simulated aircraft, shall be opened."""

        def __init__(self, place: "Place | None") -> None:
            super().__init__()
            self.place: Final = place

    def __init__(self) -> None:
        super().__init__()
        self._places: tuple[Place, ...] = ()
        self._looked = False
        self._stands_at = ""
        """The port that was open before: the cursor is for it once it is seen."""
        self._waits = False
        """Whether the cursor was put on the last row until then: Enter opens no other."""
        self._opening = ""
        self._told: list[str] = []
        self._trouble: BenchError | None = None

    def parts(self) -> "Iterator[Widget]":
        """Heading, list, what happened, keys."""
        yield Static("benchlink", id="title", markup=False)
        yield Static("Which board?", id="ask", markup=False)
        yield Sheet(self._line, id="places")
        yield Static("", id="notice", markup=False)
        yield Static("", id="says", markup=False)
        yield Static(foot(OPENING_KEYS), id="keys", markup=False)

    def on_mount(self) -> None:
        """Show the page, then look, then keep looking."""
        self._list()
        self.call_after_refresh(self._look)
        self.set_interval(LOOK_EVERY_S, self._look)

    def on_sheet_picked(self) -> None:
        """Open what the cursor is on."""
        self._pick(self._place_at(self.query_one(Sheet).cursor))

    def action_rehearse(self) -> None:
        """Open a simulated aircraft."""
        self._pick(None)

    def seen(self, places: "tuple[Place, ...]") -> None:
        """Show the ports that are there now."""
        if not self.query(Sheet):
            # The program is ending, and took its pages away.
            return
        chosen = self._place_at(self.query_one(Sheet).cursor) if self._looked else None
        if self._waits and chosen is not None:
            # Somebody took the cursor elsewhere meanwhile: there it stays.
            self.stand_at("")
        was_open = [place for place in places if place.url == self._stands_at]
        goes = bool(was_open) or bool(self._stands_at and not self._waits)
        if self._looked and places == self._places and not goes:
            return
        first = not self._looked
        self._places, self._looked = places, True
        if was_open:
            cursor = places.index(was_open[0])
            self.stand_at("")
        elif self._stands_at:
            cursor, self._waits = len(places), True
        elif first:
            cursor = 0
        else:
            cursor = places.index(chosen) if chosen in places else len(places)
        self._list(cursor)

    def stand_at(self, url: str) -> None:
        """This port was let go of: the cursor stands on it, as soon as it is there."""
        self._stands_at, self._waits = url, False

    def begin(self, place: "Place | None") -> None:
        """Say what is being opened; picks wait until that has ended."""
        name = plain(place.title) if place else "a simulated aircraft"
        self._opening = f"opening {name} ..."
        self._told.clear()
        self._trouble = None
        self.rewrite()

    def tell(self, sentence: str) -> None:
        """Show what the opening says on its way."""
        self._told = [*self._told, plain(sentence)][-TOLD_MOST:]
        self.rewrite()

    def opened(self) -> None:
        """Ready for another pick."""
        self._opening = ""
        self._told.clear()
        self.rewrite()

    def failed(self, error: "BenchError") -> None:
        """Show why it did not open; everything stays pickable."""
        self._opening = ""
        self._trouble = error
        self.rewrite()

    def rewrite(self) -> None:
        """Fill the lines around the list."""
        notice = self.query_one("#notice", Static)
        if self._trouble is not None:
            from benchlink.faces.screen.frame import wording  # noqa: PLC0415 - first paint

            told = "".join(f"{line}\n" for line in self._told[-TOLD_BEFORE_ERROR:])
            error = wording.trouble(self._trouble, "NOT OPENED", self.details_most)
            notice.update(told + error)
        else:
            notice.update("\n".join(self._told))
        notice.display = self._trouble is not None or bool(self._told)
        waiting = NO_PORT if self._looked and not self._places else ""
        self.write("says", self._opening or waiting)

    def _look(self) -> None:
        if self.app.screen is self and not self._opening:
            self.post_message(self.LookWanted())

    def _pick(self, place: "Place | None") -> None:
        if not self._opening:
            self.post_message(self.OpenWanted(place))

    def _place_at(self, row: int) -> "Place | None":
        return self._places[row] if row < len(self._places) else None

    def _list(self, cursor: int = 0) -> None:
        self.query_one(Sheet).show_rows(len(self._places) + 1, cursor)
        self.rewrite()

    def _line(self, index: int, width: int) -> "list[Piece]":
        place = self._place_at(index)
        if place is None:
            return [("rehearse on a simulated aircraft", "")]
        from benchlink.faces.screen.frame.fitting import fitted  # noqa: PLC0415 - first paint

        title, detail, url = plain(place.title), plain(place.detail), plain(place.url)
        texts = [title, detail]
        if url not in f"{title} {detail}":
            texts.append(url)
        part = max(0, width // len(texts) - 1)
        return [
            (f"{fitted(text, part)} ", style)
            for text, style in zip(texts, ("bold", "", "dim"), strict=False)
        ]

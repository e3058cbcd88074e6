"""The full-screen program: pages, keys that work everywhere, and the way out."""

import asyncio
import time
from functools import cached_property
from pathlib import PurePath
from typing import TYPE_CHECKING, ClassVar, Final, final

from textual.app import App
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.reactive import Reactive

from benchlink.faces.screen.board_desk import BoardDesk
from benchlink.faces.screen.mailbox import Mailbox
from benchlink.faces.screen.news import (
    Broke,
    Checked,
    Closed,
    Dialogue,
    Ended,
    Errand,
    Failed,
    Fed,
    Freed,
    Handled,
    Looked,
    News,
    Opened,
    Progressed,
    Read,
    Seen,
    Told,
)
from benchlink.faces.screen.opening import OpeningPage
from benchlink.faces.screen.person import ScreenPerson
from benchlink.faces.screen.stations import Stations
from benchlink.faces.screen.steady import steady_memory
from benchlink.faces.screen.way_out import CLOSE_WITHIN, END_WITHIN, heed_signals
from benchlink.faces.screen.work import Work, aside, on_a_thread
from benchlink.units import Seconds

if TYPE_CHECKING:
    from collections.abc import Callable

    from benchlink.faces.screen.entrance import Entrance, Place
    from benchlink.faces.screen.hands_desk import HandsDesk
    from benchlink.faces.screen.hands_panel import HandsPanel
    from benchlink.faces.screen.home import HomePage
    from benchlink.faces.wiring import Bench

THEME: Final = "ansi-dark"
"""Only the terminal's own colours, so it suits light and dark ones alike."""


class Arrived(Message):
    """A batch of news from other threads."""

    def __init__(self, batch: tuple[News, ...]) -> None:
        super().__init__()
        self.batch: Final = batch


@final
class BenchApp(App[None]):
    """The way in, one board at a time, and one station on it."""

    CSS_PATH: ClassVar[str | PurePath | list[str | PurePath] | None] = "screen.tcss"
    # Not set later: that parses every style twice, and comes too late for NO_COLOR.
    theme: Reactive[str] = Reactive(THEME)
    TITLE: str | None = "benchlink"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q", "quit", show=False, priority=True),
        Binding("ctrl+c", "end", show=False, priority=True),
        Binding("f2", "hands", show=False, priority=True),
    ]

    def __init__(
        self,
        entrance: "Entrance",
        mailbox: Mailbox,
        work: Work,
        let_go: "Callable[[Callable[[], None]], None]" = aside,
        by_hand: "Callable[[Callable[[], None]], None]" = on_a_thread,
        back: Opened | None = None,
    ) -> None:
        """Begin with the list, or `back` at a board that was talked to."""
        super().__init__()
        self.animation_level = "none"
        self.failure: Exception | None = None
        """The mistake of our own that ended the program."""
        self.talks_to: Opened | None = None
        """The board that the person talks to now; the screen has made way for that."""
        self._entrance: Final = entrance
        self._mailbox: Final = mailbox
        self._work: Final = work
        self._let_go: Final = let_go
        self._person: Final = ScreenPerson(
            mailbox.post, lambda: Seconds(time.monotonic())
        )
        self._stations: Final = Stations(entrance, self._person, work)
        self._board: Final = BoardDesk(
            entrance, self._person, work, lambda: self._stations.running
        )
        self._by_hand: Final = by_hand
        self._back: Final = back
        self._guided = back is not None
        self._opening: Final = OpeningPage()
        self._looking = False
        self._leaving: int | None = None

    @cached_property
    def _hands(self) -> "HandsDesk":
        from benchlink.faces.screen.hands_desk import HandsDesk  # noqa: PLC0415 - loaded

        return HandsDesk(self._entrance, self._mailbox.post, self._by_hand)

    @property
    def bench(self) -> "Bench | None":
        """The board that is open."""
        return self._board.bench

    def on_mount(self) -> None:
        """Show the list, or go straight to what was asked for."""
        loop = asyncio.get_running_loop()
        self._mailbox.attach(loop, self._arrive)
        if not self.is_headless:
            heed_signals(loop, self.leave)
        self.push_screen(self._opening)
        if self._back is not None:
            self.call_after_refresh(self._show, self._back)
        elif self._entrance.rehearse_at_once:
            self.call_after_refresh(self._open, None)
        elif self._entrance.chosen is not None:
            self.call_after_refresh(self._open, self._entrance.chosen)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Nothing opens over a station that listens for keys: any of them may be a stop.

        But for the hands on a simulated aircraft, which nudges are read with.
        """
        if self._stations.listens:
            if action == "command_palette":
                return False
            if action == "hands" and not self._hands.here:
                return False
        return super().check_action(action, parameters)

    # What the pages want.

    def on_opening_page_look_wanted(self) -> None:
        """Look for ports, unless a look is under way."""
        if not self._looking:
            self._looking = True
            self._work.give(Errand.LOOK, self._look)

    def on_opening_page_open_wanted(self, message: OpeningPage.OpenWanted) -> None:
        """Open what was picked."""
        self._open(message.place)

    def on_home_page_look_wanted(self) -> None:
        """See how the job stands."""
        self._board.look()

    def on_home_page_volts_wanted(self) -> None:
        """See what feeds the board."""
        self._board.feed()

    def on_home_page_values_wanted(self) -> None:
        """Show the settings."""
        page = self._board.values()
        if page is not None:
            self.push_screen(page)

    def on_home_page_station_wanted(self, message: "HomePage.StationWanted") -> None:
        """Begin a piece of work on the board that is open."""
        self.start_station(message.title, message.words)

    def on_home_page_talk_wanted(self) -> None:
        """Make way for a talk, once nothing else is asked of the board."""
        self._board.free()

    def on_home_page_ports_wanted(self) -> None:
        """Let go of the board and show the list."""
        self._let_go_of_board(pages=1)

    def on_values_page_read_wanted(self) -> None:
        """Read the board."""
        self._board.read()

    def on_values_page_check_wanted(self) -> None:
        """Ask the board whether it is there."""
        self._board.check()

    def on_values_page_home_wanted(self) -> None:
        """Back to the steps."""
        self._board.leave_values()
        self.pop_screen()

    def on_values_page_ports_wanted(self) -> None:
        """Let go of the board and show the list."""
        self._let_go_of_board(pages=2)

    def on_station_page_left(self) -> None:
        """Back from a station that is over: what it changed is read again."""
        self._stations.left()
        self._hands.at("")
        self.pop_screen()
        self._board.changed()

    def start_station(self, title: str, words: tuple[str, ...]) -> None:
        """Begin a piece of work on the board that is open."""
        bench = self._board.bench
        if bench is not None and self._stations.page is None:
            self._hands.at(words[0])
            self.push_screen(self._stations.start(bench, title, words))

    def _let_go_of_board(self, *, pages: int) -> None:
        bench = self._board.let_go()
        if bench is not None:
            self._close(bench)
            for _ in range(pages):
                self.pop_screen()

    # The hands on a simulated aircraft.

    def action_hands(self) -> None:
        """Open the panel over the page that shows, or close it."""
        from benchlink.faces.screen.hands_panel import HandsPanel  # noqa: PLC0415

        if isinstance(self.screen, HandsPanel):
            self.pop_screen()
        elif self.bench is not None and self._hands.here:
            self.push_screen(HandsPanel(self._hands))
        else:
            self.bell()

    def on_hands_panel_answer_wanted(self, message: "HandsPanel.AnswerWanted") -> None:
        """Back to the station, with the reading in its answer."""
        self.action_hands()
        self._stations.fill(message.text)

    def _guide(self) -> None:
        """Tell once what a rehearsal is, while its board is being read."""
        if self._hands.here and not self._guided:
            from benchlink.faces.screen.guide import GuidePage  # noqa: PLC0415

            self._guided = True
            self.push_screen(GuidePage())

    # What the work thread brings.

    def on_arrived(self, message: Arrived) -> None:
        """Hand news to the page that it is for."""
        for news in message.batch:
            self._take(news)

    def _take(self, news: News) -> None:
        match news:
            case Handled():
                self._hands.take(news)
            case Seen():
                self._looking = False
                self._opening.seen(news.places)
            case Opened():
                self._show(news)
            case Read() | Checked() | Looked() | Fed():
                self._board.take(news)
            case Ended() | Failed():
                self._take_end(news)
            case Broke():
                raise news.error
            case Freed() | Closed():
                self._go(news)
            case _:
                self._take_dialogue(news)

    def _take_dialogue(self, news: Dialogue) -> None:
        self._hands.hear(news)
        if self._stations.take(news):
            return
        match news:
            case Told():
                if not self._board.tell(news.sentence):
                    self._opening.tell(news.sentence)
            case Progressed():
                self._board.progress(news)
            case _:
                """Said by work whose page is gone."""

    def _take_ended(self, news: Ended | Failed) -> None:
        self._stations.over(news)
        if self._leaving is not None and self._board.bench is not None:
            self._close(self._board.bench)

    def _take_end(self, ended: Ended | Failed) -> None:
        if isinstance(ended, Ended) or ended.errand is Errand.STATION:
            self._take_ended(ended)
        else:
            self._take_failed(ended)

    def _take_failed(self, failed: Failed) -> None:
        if failed.errand is Errand.LOOK:
            self._looking = False
        elif failed.errand is Errand.OPEN:
            self._opening.failed(failed.error)
        else:
            self._board.failed(failed)

    # Boards.

    def _look(self) -> News:
        return Seen(places=self._entrance.places())

    def _open(self, place: "Place | None") -> None:
        def job() -> News:
            # Here, on the work thread: nobody waits for these imports.
            from benchlink.faces.screen import (  # noqa: PLC0415
                errands,
                hands_desk,  # noqa: F401
                home,  # noqa: F401
                station,  # noqa: F401
                values,  # noqa: F401
            )

            return errands.open_place(self._entrance, place, self._person)

        self._opening.begin(place)
        self._work.give(Errand.OPEN, job)

    def _show(self, opened: Opened) -> None:
        if self._leaving is not None:
            self._close(opened.bench)
            return
        self._opening.opened()
        self.push_screen(self._board.open(opened))
        self._guide()
        if not self.is_headless:
            self.call_after_refresh(steady_memory)

    def _go(self, news: Freed | Closed) -> None:
        """Leave, for good or to make way for a talk."""
        if self._leaving is not None:
            if isinstance(news, Closed):
                self.exit(return_code=self._leaving)
        elif isinstance(news, Freed) and news.bench is self.bench:
            self.talks_to = self._board.opened
            self.exit()

    def _close(self, bench: "Bench") -> None:
        def job() -> None:
            try:
                bench.close()
            finally:
                self._mailbox.post(Closed(bench=bench))

        self._let_go(job)

    # The way out.

    async def action_quit(self) -> None:
        """Let go of the board, then leave."""
        self.leave(0)

    def action_end(self) -> None:
        """End the work that is going on; where there is none, leave."""
        if self._stations.running:
            self._stations.end()
        else:
            self.leave(0)

    def leave(self, code: int) -> None:
        """Let go of the board, then leave with `code`; asked twice, leave at once."""
        bench = self._board.bench
        if bench is None or self._leaving is not None:
            self.exit(return_code=code)
            return
        self._leaving = code
        if self._stations.running:
            # What it holds goes back first: its end lets go of the board.
            self._stations.end()
            self.set_timer(END_WITHIN, lambda: self.exit(return_code=code))
            return
        self._close(bench)
        self.set_timer(CLOSE_WITHIN, lambda: self.exit(return_code=code))

    def abandon(self) -> None:
        """Let go of a board that a broken program still holds."""
        if self._board.bench is not None and self._leaving is None:
            self._board.bench.close()

    def _handle_exception(self, error: Exception) -> None:
        """Keep a mistake of our own for `run_screen`; nobody is shown a traceback."""
        self.failure = self.failure or error
        super()._handle_exception(error)
        if not self.is_headless:
            self._exit_renderables.clear()

    def _arrive(self, batch: tuple[News, ...]) -> None:
        self.post_message(Arrived(batch))

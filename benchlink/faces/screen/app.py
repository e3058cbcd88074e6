"""The full-screen program: pages, keys that work everywhere, and the way out."""

import asyncio
from functools import cached_property
from pathlib import PurePath
from typing import TYPE_CHECKING, ClassVar, Final, final

from textual.app import App
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.reactive import Reactive

from benchlink.faces.screen.desks import Asides, Desks
from benchlink.faces.screen.steps.opening import OpeningPage
from benchlink.faces.screen.threads.vigil import Vigil, driver_class, watched
from benchlink.faces.screen.threads.work import aside, on_a_thread
from benchlink.faces.screen.way_out import heed_signals

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.screen import Screen

    from benchlink.faces.screen.arrivals import Arrivals
    from benchlink.faces.screen.departure import Departure
    from benchlink.faces.screen.hands.hands_panel import HandsPanel
    from benchlink.faces.screen.steps.home import HomePage
    from benchlink.faces.screen.threads.entrance import Entrance, Place
    from benchlink.faces.screen.threads.mailbox import Mailbox
    from benchlink.faces.screen.threads.news import (
        Closed,
        Dialogue,
        Freed,
        News,
        Opened,
    )
    from benchlink.faces.screen.threads.vigil import Watched
    from benchlink.faces.screen.threads.work import Work
    from benchlink.faces.screen.values.values import ValuesPage
    from benchlink.faces.wiring import Bench

THEME: Final = "ansi-dark"
"""Only the terminal's own colours, so it suits light and dark ones alike."""


class Arrived(Message):
    """A batch of news from other threads."""

    def __init__(self, batch: "tuple[News, ...]") -> None:
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
        mailbox: "Mailbox",
        work: "Work",
        let_go: "Callable[[Callable[[], None]], None]" = aside,
        by_hand: "Callable[[Callable[[], None]], None]" = on_a_thread,
        back: "Opened | None" = None,
    ) -> None:
        """Begin with the list, or `back` at a board that was talked to."""
        super().__init__(driver_class=driver_class())
        self.animation_level = "none"
        self.failure: Exception | None = None
        """The mistake of our own that ended the program."""
        self.talks_to: Opened | None = None
        """The board that the person talks to now; the screen has made way for that."""
        self._entrance: Final = entrance
        self._mailbox: Final = mailbox
        self._work: Final = work
        self._desks: Final = Desks(
            entrance, mailbox.post, work, Asides(let_go, by_hand)
        )
        self._back: Final = back
        self._guided = back is not None
        self._opening: Final = OpeningPage()
        self._looking = False

    @property
    def terminal(self) -> "Watched | None":
        """Where it shows, if that can be watched."""
        return watched(self._driver)

    # Nobody waits for what these import: the list of ports stands by then.

    @cached_property
    def _departure(self) -> "Departure":
        from benchlink.faces.screen.departure import Departure  # noqa: PLC0415

        return Departure(self, self._desks)

    @cached_property
    def _arrivals(self) -> "Arrivals":
        from benchlink.faces.screen.arrivals import Arrivals  # noqa: PLC0415

        return Arrivals(self, self._opening, self._desks)

    @property
    def bench(self) -> "Bench | None":
        """The board that is open."""
        return self._desks.board.bench

    def get_default_screen(self) -> "Screen[None]":
        """The list, and no blank screen below it."""
        return self._opening

    def on_mount(self) -> None:
        """Show the list, or go straight to what was asked for."""
        loop = asyncio.get_running_loop()
        self._mailbox.attach(loop, self._arrive)
        if not self.is_headless:
            heed_signals(loop, self.leave, lambda: self._desks.pulse.stuck)
        Vigil(self, self._desks.pulse, self.terminal, self.leave).begin()
        if self._back is not None:
            self.call_after_refresh(self.show, self._back)
        elif self._entrance.rehearse_at_once:
            self.call_after_refresh(self._open, None)
        elif self._entrance.chosen is not None:
            self.call_after_refresh(self._open, self._entrance.chosen)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Nothing opens over a station that listens for keys: any of them may be a stop.

        But for the hands on a simulated aircraft, which nudges are read with; where there
        is none, their key is one like any other.
        """
        if action == "command_palette":
            return self._may_list
        if action == "hands":
            return self.bench is not None and self._desks.hands.here
        return super().check_action(action, parameters)

    @property
    def _may_list(self) -> bool:
        """Whether what can be done may be listed over whatever shows."""
        from benchlink.faces.screen.frame.page import Page  # noqa: PLC0415

        busy = self._desks.stations.listens or self._desks.stations.hushed
        return isinstance(self.screen, Page) and not busy

    def action_command_palette(self) -> None:
        """List what can be done on the page that shows."""
        from benchlink.faces.screen.frame.palette import palette  # noqa: PLC0415 - when asked

        self.push_screen(palette())

    # What the pages want.

    def on_opening_page_look_wanted(self) -> None:
        """Look for ports, unless a look is under way."""
        from benchlink.faces.screen.threads.news import Errand  # noqa: PLC0415 - first paint

        if not self._looking:
            self._looking = True
            self._work.give(Errand.LOOK, self._look)

    def on_opening_page_open_wanted(self, message: OpeningPage.OpenWanted) -> None:
        """Open what was picked."""
        self._open(message.place)

    def on_home_page_look_wanted(self) -> None:
        """See how the job stands."""
        self._desks.board.look()

    def on_home_page_volts_wanted(self) -> None:
        """See what feeds the board."""
        self._desks.board.feed()

    def on_home_page_values_wanted(self) -> None:
        """Show the settings."""
        page = self._desks.board.values()
        if page is not None:
            self.push_screen(page)

    def on_home_page_station_wanted(self, message: "HomePage.StationWanted") -> None:
        """Begin a piece of work on the board that is open."""
        self.start_station(message.title, message.words)

    def on_home_page_talk_wanted(self) -> None:
        """Make way for a talk, once nothing else is asked of the board."""
        self._desks.board.free()

    def on_home_page_ports_wanted(self) -> None:
        """Let go of the board and show the list."""
        self._let_go_of_board(pages=1)

    def on_values_page_read_wanted(self) -> None:
        """Read the board."""
        self._desks.board.read()

    def on_values_page_check_wanted(self) -> None:
        """Ask the board whether it is there."""
        self._desks.board.check()

    def on_values_page_home_wanted(self) -> None:
        """Back to the steps."""
        self._desks.board.leave_values()
        self.pop_screen()

    def on_values_page_station_wanted(
        self, message: "ValuesPage.StationWanted"
    ) -> None:
        """Begin a piece of work on the settings that were marked."""
        self.start_station(message.order.title, message.order.words)

    def on_values_page_ports_wanted(self) -> None:
        """Let go of the board and show the list."""
        self._let_go_of_board(pages=2)

    def on_station_page_left(self) -> None:
        """Back from a station that is over: what it changed is read again."""
        self._desks.stations.left()
        self._desks.hands.at("")
        self.pop_screen()
        self._desks.board.changed()

    def start_station(self, title: str, words: tuple[str, ...]) -> None:
        """Begin a piece of work on the board that is open."""
        bench = self._desks.board.bench
        if bench is not None and self._desks.stations.page is None:
            self._desks.hands.at(words[0])
            self.push_screen(self._desks.stations.start(bench, title, words))

    def ask(self, said: "tuple[Dialogue, ...]") -> None:
        """What is no station has to ask: a page for that, as long as it takes."""
        self.push_screen(self._desks.stations.ask(said))

    def answered(self) -> None:
        """What asked is done: the page for its questions goes."""
        page = self._desks.stations.page
        if self._desks.stations.is_question:
            self._desks.stations.left()
            while page in self.screen_stack:
                self.pop_screen()
            self.station_ended()

    def _let_go_of_board(self, *, pages: int) -> None:
        bench = self._desks.board.let_go()
        if bench is not None:
            self._opening.stand_at(bench.session.board.port)
            self._departure.close(bench)
            for _ in range(pages):
                self.pop_screen()

    # The hands on a simulated aircraft.

    def action_hands(self) -> None:
        """Open the panel over the page that shows, or close it."""
        from benchlink.faces.screen.hands.hands_panel import HandsPanel  # noqa: PLC0415

        if isinstance(self.screen, HandsPanel):
            self.pop_screen()
        else:
            self.push_screen(HandsPanel(self._desks.hands))

    def on_hands_panel_answer_wanted(self, message: "HandsPanel.AnswerWanted") -> None:
        """Back to the station, with the reading in its answer."""
        self.action_hands()
        self._desks.stations.fill(message.text)

    def _guide(self) -> None:
        """Tell once what a rehearsal is, while its board is being read."""
        if self._desks.hands.here and not self._guided:
            from benchlink.faces.screen.steps.guide import GuidePage  # noqa: PLC0415

            self._guided = True
            self.push_screen(GuidePage())

    # What the work thread brings.

    def on_arrived(self, message: Arrived) -> None:
        """Hand news to the page that it is for."""
        for news in message.batch:
            self._arrivals.take(news)

    def looked(self) -> None:
        """A look for ports is over: another may begin."""
        self._looking = False

    def uncover(self) -> None:
        """A station listens for keys: no help or list stands over it any more.

        The hands on a simulated aircraft do, for what a key has moved is read with them.
        """
        from benchlink.faces.screen.hands.hands_panel import HandsPanel  # noqa: PLC0415

        page = self._desks.stations.page
        if page in self.screen_stack:
            while self.screen is not page and not isinstance(self.screen, HandsPanel):
                self.pop_screen()

    def station_ended(self) -> None:
        """Whoever leaves has waited for that."""
        self._departure.station_ended()

    # Boards.

    def _look(self) -> "News":
        from benchlink.faces.screen.threads.news import Seen  # noqa: PLC0415 - first paint

        return Seen(places=self._entrance.places())

    def _open(self, place: "Place | None") -> None:
        from benchlink.faces.screen.threads.news import Errand  # noqa: PLC0415 - first paint

        def job() -> "News":
            # Here, on the work thread: nobody waits for these imports.
            from benchlink.faces.screen.hands import hands_desk  # noqa: F401, PLC0415
            from benchlink.faces.screen.station import station  # noqa: F401, PLC0415
            from benchlink.faces.screen.steps import home  # noqa: F401, PLC0415
            from benchlink.faces.screen.threads import errands  # noqa: PLC0415
            from benchlink.faces.screen.values import values  # noqa: F401, PLC0415

            return errands.open_place(self._entrance, place, self._desks.person)

        self._desks.person.attend()
        self._opening.begin(place)
        self._work.give(Errand.OPEN, job)

    def show(self, opened: "Opened") -> None:
        """The first page about a board that was met."""
        if self._departure.begun:
            self._departure.close(opened.bench)
            return
        self._opening.opened()
        self.push_screen(self._desks.board.open(opened))
        if self._desks.hands.here:
            self._desks.hands.begin()
        self._guide()
        if not self.is_headless:
            from benchlink.faces.screen.steady import steady_memory  # noqa: PLC0415

            self.call_after_refresh(steady_memory)

    def _may_talk(self, bench: "Bench") -> bool:
        return bench is self.bench and not self._departure.begun

    def go(self, news: "Freed | Closed") -> None:
        """Leave, for good or to make way for a talk."""
        from benchlink.faces.screen.threads.news import Closed  # noqa: PLC0415 - first paint

        if isinstance(news, Closed):
            self._departure.closed()
        elif self._may_talk(news.bench):
            self.talks_to = self._desks.board.opened
            self.exit()

    # The way out.

    async def action_quit(self) -> None:
        """Let go of the board, then leave."""
        self.leave(0)

    def action_end(self) -> None:
        """End the work that is going on; where there is none, leave."""
        if self._desks.stations.running:
            self._desks.stations.end()
        else:
            self.leave(0)

    def leave(self, code: int) -> None:
        """Let go of the board, then leave with `code`; asked twice, leave at once."""
        self._departure.leave(code)

    def interrupt(self) -> None:
        """End the work at hand where the loop that would have done it is stuck."""
        if self._desks.board.bench is not None and not self._departure.begun:
            self._desks.person.interrupt()

    def abandon(self) -> None:
        """Let go of a board that a broken program still holds."""
        if self._desks.board.bench is not None and not self._departure.begun:
            self._desks.board.bench.close()

    def _handle_exception(self, error: Exception) -> None:
        """Keep a mistake of our own for `run_screen`; nobody is shown a traceback."""
        self.failure = self.failure or error
        super()._handle_exception(error)
        if not self.is_headless:
            self._exit_renderables.clear()

    def _arrive(self, batch: "tuple[News, ...]") -> None:
        self.post_message(Arrived(batch))

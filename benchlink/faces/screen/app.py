"""The full-screen program: pages, keys that work everywhere, and the way out."""

import asyncio
import contextlib
import gc
import os
import signal
import sys
import time
from pathlib import PurePath
from typing import TYPE_CHECKING, ClassVar, Final, assert_never, final

from textual.app import App
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.reactive import Reactive

from benchlink.errors import MisuseError, UsageError
from benchlink.faces.screen.mailbox import Mailbox
from benchlink.faces.screen.news import (
    Broke,
    Checked,
    Closed,
    Errand,
    Failed,
    News,
    Opened,
    Progressed,
    Read,
    Seen,
    Told,
)
from benchlink.faces.screen.opening import OpeningPage
from benchlink.faces.screen.person import ScreenPerson
from benchlink.faces.screen.work import Work, WorkThread, aside
from benchlink.units import Seconds

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from benchlink.faces.screen.entrance import Entrance, Place
    from benchlink.faces.screen.values import ValuesPage
    from benchlink.faces.wiring import Bench

THEME: Final = "ansi-dark"
"""Only the terminal's own colours, so it suits light and dark ones alike."""

CLOSE_WITHIN: Final = Seconds(1.0)
"""How long the exit waits for a board that will not let go."""

SIGNALLED: Final = 128
"""A program that a signal ended gives this plus the signal's number (POSIX shells)."""

GC_THRESHOLDS: Final = (50_000, 20, 100)


class Arrived(Message):
    """A batch of news from other threads."""

    def __init__(self, batch: tuple[News, ...]) -> None:
        super().__init__()
        self.batch: Final = batch


@final
class BenchApp(App[None]):
    """Two pages and one board at a time."""

    CSS_PATH: ClassVar[str | PurePath | list[str | PurePath] | None] = "screen.tcss"
    # Not set later: that parses every style twice, and comes too late for NO_COLOR.
    theme: Reactive[str] = Reactive(THEME)
    TITLE: str | None = "benchlink"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q,ctrl+c", "quit", show=False, priority=True),
    ]

    def __init__(
        self,
        entrance: "Entrance",
        mailbox: Mailbox,
        work: Work,
        let_go: "Callable[[Callable[[], None]], None]" = aside,
    ) -> None:
        super().__init__()
        self.animation_level = "none"
        self.failure: Exception | None = None
        """The mistake of our own that ended the program."""
        self._entrance: Final = entrance
        self._mailbox: Final = mailbox
        self._work: Final = work
        self._let_go: Final = let_go
        self._person: Final = ScreenPerson(
            mailbox.post, lambda: Seconds(time.monotonic())
        )
        self._opening: Final = OpeningPage()
        self._values: ValuesPage | None = None
        self._looking = False
        self._leaving: int | None = None

    def on_mount(self) -> None:
        """Show the list, or go straight to what was asked for."""
        loop = asyncio.get_running_loop()
        self._mailbox.attach(loop, self._arrive)
        if not self.is_headless:
            self._heed_signals(loop)
        self.push_screen(self._opening)
        if self._entrance.rehearse_at_once:
            self.call_after_refresh(self._open, None)
        elif self._entrance.chosen is not None:
            self.call_after_refresh(self._open, self._entrance.chosen)

    # What the pages want.

    def on_opening_page_look_wanted(self) -> None:
        """Look for ports, unless a look is under way."""
        if not self._looking:
            self._looking = True
            self._work.give(Errand.LOOK, self._look)

    def on_opening_page_open_wanted(self, message: OpeningPage.OpenWanted) -> None:
        """Open what was picked."""
        self._open(message.place)

    def on_values_page_read_wanted(self) -> None:
        """Read the board of the page."""
        from benchlink.faces.screen import errands  # noqa: PLC0415 - first paint

        page = self._values
        if page is not None:
            self._work.give(
                Errand.READ,
                lambda: errands.read(
                    page.bench, page.session, page.intent, self._person
                ),
                page.bench,
            )

    def on_values_page_check_wanted(self) -> None:
        """Ask the board of the page whether it is there."""
        from benchlink.faces.screen import errands  # noqa: PLC0415 - first paint

        page = self._values
        if page is not None:
            self._work.give(
                Errand.CHECK,
                lambda: errands.check(page.bench, page.session),
                page.bench,
            )

    def on_values_page_ports_wanted(self) -> None:
        """Let go of the board and show the list."""
        if self._values is not None:
            self._close(self._values.bench)
            self._values = None
            self.pop_screen()

    # What the work thread brings.

    def on_arrived(self, message: Arrived) -> None:
        """Hand news to the page that it is for."""
        for news in message.batch:
            self._take(news)

    def _take(self, news: News) -> None:
        match news:
            case Seen() | Opened() | Told():
                self._take_for_opening(news)
            case Read() | Checked() | Progressed():
                self._take_for_values(news)
            case Failed():
                self._take_failed(news)
            case Broke():
                raise news.error
            case Closed():
                if self._leaving is not None:
                    self.exit(return_code=self._leaving)
            case _:
                assert_never(news)

    def _take_for_opening(self, news: Seen | Opened | Told) -> None:
        match news:
            case Seen():
                self._looking = False
                self._opening.seen(news.places)
            case Opened():
                self._show(news)
            case Told():
                page = self._values or self._opening
                page.tell(news.sentence)

    def _take_for_values(self, news: Read | Checked | Progressed) -> None:
        page = self._values
        if page is None:
            return
        match news:
            case Progressed():
                page.take_progress(news)
            case Read() if news.bench is page.bench:
                page.take_read(news)
            case Checked() if news.bench is page.bench:
                page.take_checked(news)
            case _:
                """News of a board that was let go."""

    def _take_failed(self, failed: Failed) -> None:
        if failed.errand is Errand.LOOK:
            self._looking = False
        elif failed.errand is Errand.OPEN:
            self._opening.failed(failed.error)
        elif self._values is not None and failed.bench is self._values.bench:
            self._values.take_failed(failed)

    # Boards.

    def _look(self) -> News:
        return Seen(places=self._entrance.places())

    def _open(self, place: "Place | None") -> None:
        def job() -> News:
            # Here, on the work thread: nobody waits for these imports.
            from benchlink.faces.screen import errands, values  # noqa: F401, PLC0415

            return errands.open_place(self._entrance, place, self._person)

        self._opening.begin(place)
        self._work.give(Errand.OPEN, job)

    def _show(self, opened: Opened) -> None:
        if self._leaving is not None:
            self._close(opened.bench)
            return
        from benchlink.faces.screen.values import ValuesPage  # noqa: PLC0415 - loaded

        self._opening.opened()
        self._values = ValuesPage(opened)
        self.push_screen(self._values)
        if not self.is_headless:
            self.call_after_refresh(steady_memory)

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

    def leave(self, code: int) -> None:
        """Let go of the board, then leave with `code`; asked twice, leave at once."""
        if self._values is None or self._leaving is not None:
            self.exit(return_code=code)
            return
        self._leaving = code
        self._close(self._values.bench)
        self.set_timer(CLOSE_WITHIN, lambda: self.exit(return_code=code))

    def abandon(self) -> None:
        """Let go of a board that a broken program still holds."""
        if self._values is not None and self._leaving is None:
            self._values.bench.close()

    def _heed_signals(self, loop: asyncio.AbstractEventLoop) -> None:
        for name in ("SIGTERM", "SIGHUP", "SIGINT"):
            number = getattr(signal, name, None)
            if isinstance(number, signal.Signals):
                # Not every system lets a loop handle signals.
                with contextlib.suppress(NotImplementedError):
                    loop.add_signal_handler(number, self.leave, SIGNALLED + number)

    def _handle_exception(self, error: Exception) -> None:
        """Keep a mistake of our own for `run_screen`; nobody is shown a traceback."""
        self.failure = self.failure or error
        super()._handle_exception(error)
        if not self.is_headless:
            self._exit_renderables.clear()

    def _arrive(self, batch: tuple[News, ...]) -> None:
        self.post_message(Arrived(batch))


def run_screen(entrance: "Entrance") -> int:
    """Run the full screen until the person leaves; gives the exit code.

    Raises:
        UsageError: there is no terminal that could show it.
        MisuseError: a mistake of our own ended it.
    """
    require_terminal(
        os.environ,
        is_terminal=sys.__stdin__ is not None
        and sys.__stdin__.isatty()
        and sys.__stderr__ is not None
        and sys.__stderr__.isatty(),
    )
    if os.environ.get("NO_COLOR") == "":
        # The convention: only a value that is not empty counts (no-color.org).
        del os.environ["NO_COLOR"]
    mailbox = Mailbox()
    work = WorkThread(mailbox.post)
    app = BenchApp(entrance, mailbox, work)
    work.start()
    try:
        app.run(mouse=False)
    finally:
        app.abandon()
        tidy(mailbox, work)
    if app.failure is not None:
        msg = f"the full screen stopped by a mistake of its own: {app.failure!r}"
        raise MisuseError(
            msg, hint="Nothing was written to the board. The plain verbs still work."
        )
    return app.return_code or 0


def require_terminal(environment: "Mapping[str, str]", *, is_terminal: bool) -> None:
    """Refuse where a full screen would only spill control codes.

    Raises:
        UsageError: always, unless there is a terminal that can be drawn on.
    """
    if is_terminal and environment.get("TERM", "") not in {"", "dumb"}:
        return
    msg = "the full screen needs a terminal that it can draw on"
    raise UsageError(
        msg, hint="Nothing was opened. The plain verbs work: `benchlink --help`."
    )


def tidy(mailbox: Mailbox, work: WorkThread) -> None:
    """Let go of a board that was opened while the person was leaving."""
    work.finish(CLOSE_WITHIN)
    for news in mailbox.take():
        if isinstance(news, Opened):
            news.bench.close()


def steady_memory() -> None:
    """Keep the collector from walking through what will stay until the exit."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(*GC_THRESHOLDS)

"""The full screen as a program: from a terminal that can show it to its exit code."""

import os
import signal
import sys
from typing import TYPE_CHECKING, Final

from benchlink.core.cautions import CUT_THE_POWER
from benchlink.errors import MisuseError, UsageError
from benchlink.faces.screen.app import BenchApp
from benchlink.faces.screen.threads.mailbox import Mailbox
from benchlink.faces.screen.threads.work import WorkThread
from benchlink.faces.screen.way_out import CLOSE_WITHIN, END_WITHIN, hush, signals

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from types import FrameType

    from benchlink.faces.screen.threads.entrance import Entrance

    Handler = Callable[[int, FrameType | None], object] | int | None


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
    _heed_colours()
    mailbox = Mailbox()
    work = WorkThread(mailbox.post)
    work.start()
    heeded = {number: signal.getsignal(number) for number in signals()}
    app = BenchApp(entrance, mailbox, work)
    try:
        app.run(mouse=False)
        while app.talks_to is not None:
            _heed_again(heeded)
            entrance.talk(app.talks_to.bench)
            app = BenchApp(entrance, mailbox, work, back=app.talks_to)
            app.run(mouse=False)
    except KeyboardInterrupt:
        # Out of a loop that was stuck: what is held goes back first all the same.
        app.interrupt()
        work.finish(END_WITHIN)
        raise
    finally:
        if app.terminal is not None and app.terminal.takes_nothing:
            hush()
        app.abandon()
        tidy(mailbox, work)
        _heed_again(heeded)
    if app.failure is not None:
        msg = f"the full screen stopped by a mistake of its own: {app.failure!r}"
        raise MisuseError(msg, hint=STOPPED)
    return app.return_code or 0


def _heed_colours() -> None:
    if os.environ.get("NO_COLOR") == "":
        # The convention: only a value that is not empty counts (no-color.org).
        del os.environ["NO_COLOR"]
    if is_monochrome(os.environ.get("TERM", "")):
        os.environ["NO_COLOR"] = "1"


def _heed_again(heeded: "Mapping[signal.Signals, Handler]") -> None:
    """The screen has taken these away."""
    for number, handler in heeded.items():
        signal.signal(number, handler)


STOPPED: Final = (
    "Whatever was begun on the board is told when it is met again: `benchlink unfinished`."
    f" The plain verbs still work. If anything moves: {CUT_THE_POWER}"
)


def require_terminal(environment: "Mapping[str, str]", *, is_terminal: bool) -> None:
    """Refuse where a full screen would only spill control codes.

    Raises:
        UsageError: always, unless there is a terminal that can be drawn on.
    """
    if is_terminal and environment.get("TERM", "") not in {"", "dumb"}:
        return
    msg = "the full screen needs a terminal that it can draw on"
    raise UsageError(
        msg,
        hint="Nothing was opened. The plain verbs work, line by line:"
        " `benchlink job` prints the steps, and what does the next one.",
    )


MONOCHROME: Final = ("vt52", "vt1", "vt2", "vt3", "vt4")
"""How the names of terminals begin that were made without colour."""
WITHOUT: Final = ("-m", "-mono")
"""How names end where the colours of a terminal are not to be used (terminfo)."""


def is_monochrome(terminal: str) -> bool:
    """Whether a terminal, by its name, would take a colour for something else."""
    return terminal.startswith(MONOCHROME) or terminal.endswith(WITHOUT)


def tidy(mailbox: Mailbox, work: WorkThread) -> None:
    """Let go of a board that was opened while the person was leaving."""
    from benchlink.faces.screen.threads.news import Opened  # noqa: PLC0415 - first paint

    work.finish(CLOSE_WITHIN)
    for news in mailbox.take():
        if isinstance(news, Opened):
            news.bench.close()

"""The vigil: several times a second, whether the page and its terminal still follow."""

import sys
from contextlib import ExitStack
from typing import TYPE_CHECKING, Final, Protocol, final

from benchlink.faces.screen.way_out import HUNG_UP

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.app import App
    from textual.driver import Driver

    from benchlink.faces.screen.threads.pulse import Pulse
    from benchlink.faces.screen.threads.terminal import Terminal

EVERY_S: Final = 0.2
MOST_WAITING: Final = 65_536
"""Bytes; a large window in full colour is less, and more would only be seen late."""


class Watched(Protocol):
    """A terminal."""

    @property
    def waiting(self) -> int:
        """Bytes that it has not taken yet."""
        ...

    @property
    def stalled(self) -> bool:
        """Whether it takes nothing."""
        ...

    @property
    def gone(self) -> bool:
        """Whether it is there no more."""
        ...

    @property
    def takes_nothing(self) -> bool:
        """Whether what is still said would hold up whoever says it."""
        ...

    def give_up(self) -> None:
        """Read no more from it."""
        ...


def driver_class() -> "type[Terminal] | None":
    """A terminal that can be watched; None where textual has to choose."""
    if sys.platform == "win32":
        return None
    from benchlink.faces.screen.threads.terminal import Terminal  # noqa: PLC0415 - POSIX

    return Terminal


def watched(driver: "Driver | None") -> Watched | None:
    """The terminal of an app, unless it has none, as in a test that holds the keys."""
    ours = driver_class()
    return driver if ours is not None and isinstance(driver, ours) else None


@final
class Vigil:
    """Kept on the event loop: what stops it, stops the pulse."""

    def __init__(
        self,
        app: "App[None]",
        pulse: "Pulse",
        terminal: Watched | None,
        leave: "Callable[[int], None]",
    ) -> None:
        """Of an app that may have no terminal, where a test holds the keys."""
        self._app: Final = app
        self._pulse: Final = pulse
        self._terminal: Final = terminal
        self._leave: Final = leave
        self._over = False
        self._undrawn: Final = ExitStack()
        self._draws = True

    def begin(self) -> None:
        """Look from now on."""
        self._app.set_interval(EVERY_S, self.look)

    def look(self) -> None:
        """Feel once."""
        terminal = self._terminal
        if terminal is None:
            self._pulse.beat(follows=True)
        elif not terminal.gone:
            self._pulse.beat(follows=not terminal.stalled)
            self._draw(wanted=terminal.waiting <= MOST_WAITING)
        else:
            self._pulse.beat(follows=False)
            if not self._over:
                self._over = True
                terminal.give_up()
                self._leave(HUNG_UP)

    def _draw(self, *, wanted: bool) -> None:
        """Draw nothing while the terminal is far behind, then all of it anew."""
        if wanted is self._draws:
            return
        self._draws = wanted
        if wanted:
            self._undrawn.close()
            self._app.screen.refresh(layout=True)
        else:
            self._undrawn.enter_context(self._app.batch_update())

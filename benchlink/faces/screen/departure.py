"""Letting go of a board, and leaving: whatever is held goes back first."""

from typing import TYPE_CHECKING, Final, final

from benchlink.faces.screen.threads.news import Closed
from benchlink.faces.screen.way_out import CLOSE_WITHIN, END_WITHIN, HUNG_UP

if TYPE_CHECKING:
    from textual.app import App

    from benchlink.faces.screen.desks import Desks
    from benchlink.faces.wiring import Bench


@final
class Departure:
    """One for the program: it is left once."""

    def __init__(self, app: "App[None]", desks: "Desks") -> None:
        self._app: Final = app
        self._desks: Final = desks
        self._code: int | None = None

    @property
    def begun(self) -> bool:
        """Whether the person is leaving."""
        return self._code is not None

    def leave(self, code: int) -> None:
        """Let go of the board, then leave with `code`; asked twice, leave at once."""
        if code == HUNG_UP and self.begun:
            return  # told by the system, by the shell and by the terminal, and meant once
        bench = self._desks.board.bench
        if bench is None or self.begun:
            self._app.exit(return_code=code)
            return
        self._code = code
        if self._desks.stations.running:
            # What it holds goes back first: its end lets go of the board.
            self._desks.stations.end()
            self._exit_after(END_WITHIN)
            return
        self.close(bench)
        self._exit_after(CLOSE_WITHIN)

    def station_ended(self) -> None:
        """Whoever leaves has waited for that."""
        if self.begun and self._desks.board.bench is not None:
            self.close(self._desks.board.bench)

    def close(self, bench: "Bench") -> None:
        """Let go of a board; its news is posted."""
        self._desks.board.end_wait()

        def job() -> None:
            try:
                bench.close()
            finally:
                self._desks.post(Closed(bench=bench))

        self._desks.asides.let_go(job)

    def closed(self) -> None:
        """A board was let go of: the last one, where the person is leaving."""
        if self._code is not None:
            self._app.exit(return_code=self._code)

    def _exit_after(self, within: float) -> None:
        code = self._code
        self._app.set_timer(within, lambda: self._app.exit(return_code=code or 0))

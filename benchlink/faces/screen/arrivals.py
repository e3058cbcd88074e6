"""News from other threads, each handed to the page or desk that it is for."""

from typing import TYPE_CHECKING, Final, final

from benchlink.faces.screen.threads.news import (
    Asked,
    AskedFor,
    Broke,
    Checked,
    Closed,
    Ended,
    Errand,
    Failed,
    Fed,
    Freed,
    Handled,
    Looked,
    Opened,
    Progressed,
    Read,
    Returned,
    Seen,
    Told,
)

if TYPE_CHECKING:
    from benchlink.faces.screen.app import BenchApp
    from benchlink.faces.screen.desks import Desks
    from benchlink.faces.screen.steps.opening import OpeningPage
    from benchlink.faces.screen.threads.news import Dialogue, News

ENDS: Final = (Opened, Read, Checked, Looked, Fed, Returned, Failed, Freed)
"""News that what was asked of a board is done, or came to nothing."""


@final
class Arrivals:
    """Decides nothing but whose a piece of news is."""

    def __init__(self, app: "BenchApp", opening: "OpeningPage", desks: "Desks") -> None:
        self._app: Final = app
        self._opening: Final = opening
        self._to: Final = desks
        self._said: Final[list[Told]] = []
        """By what is no station, since it began."""

    def take(self, news: "News") -> None:
        """Hand one on.

        Raises:
            Exception: it tells of a mistake of our own, and that is what is raised.
        """
        self._see_an_end(news)
        match news:
            case Handled():
                self._to.hands.take(news)
            case Seen():
                self._app.looked()
                self._opening.seen(news.places)
            case Opened():
                self._app.show(news)
            case Read() | Checked() | Looked() | Fed() | Returned():
                self._to.board.take(news)
            case Ended() | Failed():
                self._take_end(news)
            case Broke():
                raise news.error
            case Freed() | Closed():
                self._app.go(news)
            case _:
                self._take_dialogue(news)

    def _see_an_end(self, news: "News") -> None:
        if isinstance(news, ENDS):
            self._said.clear()
            self._app.answered()

    def _take_dialogue(self, news: "Dialogue") -> None:
        self._to.hands.hear(news)
        if self._to.stations.take(news):
            if self._to.stations.listens:
                self._app.uncover()
            return
        match news:
            case Asked(for_what=for_what):
                if for_what is not AskedFor.NOTHING:
                    self._app.ask((*self._said, news))
            case Told():
                self._said.append(news)
                if not self._to.board.tell(news.sentence):
                    self._opening.tell(news.sentence)
            case Progressed():
                self._to.board.progress(news)
            case _:
                """Said by work whose page is gone."""

    def _take_end(self, ended: Ended | Failed) -> None:
        if isinstance(ended, Ended) or ended.errand is Errand.STATION:
            self._to.stations.over(ended)
            self._app.station_ended()
        else:
            self._take_failed(ended)

    def _take_failed(self, failed: Failed) -> None:
        if failed.errand is Errand.LOOK:
            self._app.looked()
        elif failed.errand is Errand.OPEN:
            self._opening.failed(failed.error)
        else:
            self._to.board.failed(failed)

"""Which station is at work: started from a page, fed with what its workflow says."""

from typing import TYPE_CHECKING, Final, final

from benchlink.faces.screen.threads.news import Ended, Errand, Failed

if TYPE_CHECKING:
    from benchlink.faces.screen.station.station import StationPage
    from benchlink.faces.screen.threads.entrance import Entrance
    from benchlink.faces.screen.threads.news import Dialogue
    from benchlink.faces.screen.threads.person import ScreenPerson
    from benchlink.faces.screen.threads.work import Work
    from benchlink.faces.wiring import Bench

BEFORE: Final = "Before it goes on"


@final
class Stations:
    """One at a time."""

    def __init__(
        self, entrance: "Entrance", person: "ScreenPerson", work: "Work"
    ) -> None:
        self._entrance: Final = entrance
        self._person: Final = person
        self._work: Final = work
        self.page: StationPage | None = None
        """The one that shows, over or not."""
        self.is_question = False
        """Whether it only stands there because something else has to ask."""

    @property
    def running(self) -> bool:
        """Whether a workflow is at work."""
        return self.page is not None and not self.page.over

    @property
    def listens(self) -> bool:
        """Whether the workflow waits for single keys."""
        return self.page is not None and self.page.listens

    @property
    def hushed(self) -> bool:
        """Whether a line is typed that must not show."""
        return self.page is not None and self.page.hushed

    def start(
        self, bench: "Bench", title: str, words: tuple[str, ...]
    ) -> "StationPage":
        """Begin one; `words` are those of the command line, the verb first."""
        from benchlink.faces.screen.station.station import StationPage  # noqa: PLC0415 - loaded

        self._person.begin()
        self.page = StationPage(title, self._person)

        def job() -> Ended:
            code = self._entrance.station(bench, self._person, words)
            return Ended(bench=bench, code=code)

        self._work.give(Errand.STATION, job, bench)
        return self.page

    def ask(self, begun: "tuple[Dialogue, ...]") -> "StationPage":
        """A page for questions of what is no station: a login, whose board this is."""
        from benchlink.faces.screen.station.station import StationPage  # noqa: PLC0415 - loaded

        self._person.attend()
        self.page = StationPage(BEFORE, self._person, begun)
        self.is_question = True
        return self.page

    def take(self, news: "Dialogue") -> bool:
        """Show it on the station's page; False where none is at work."""
        page = self.page
        if page is None or page.over:
            return False
        page.take(news)
        return True

    def over(self, news: "Ended | Failed") -> None:
        """The workflow has ended."""
        if self.page is None:
            return
        if isinstance(news, Ended):
            self.page.ended(news.code)
        else:
            self.page.failed(news.error)

    def end(self) -> None:
        """Whatever is at work shall end: what it holds goes back first."""
        if self.running and self.page is not None:
            self.page.interrupt()

    def fill(self, text: str) -> None:
        """Put a text into the answer that a station waits for."""
        if self.running and self.page is not None:
            self.page.fill(text)

    def left(self) -> None:
        """Nobody looks at it any more: an interrupt that came too late ends nothing else."""
        self._person.attend()
        self.page, self.is_question = None, False

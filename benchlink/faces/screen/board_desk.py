"""The board that is open and the pages about it: what is asked of it, and who is told."""

from dataclasses import replace
from typing import TYPE_CHECKING, Final, final

from benchlink.faces.screen.news import (
    Checked,
    Errand,
    Failed,
    Fed,
    Freed,
    Looked,
    Progressed,
    Read,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from benchlink.faces.screen.entrance import Entrance
    from benchlink.faces.screen.home import HomePage
    from benchlink.faces.screen.news import AboutBoard, News, Opened
    from benchlink.faces.screen.person import ScreenPerson
    from benchlink.faces.screen.values import Stand, ValuesPage
    from benchlink.faces.screen.work import Work
    from benchlink.faces.wiring import Bench


@final
class BoardDesk:
    """One board at a time; nothing is asked of it while a station works on it."""

    def __init__(
        self,
        entrance: "Entrance",
        person: "ScreenPerson",
        work: "Work",
        busy: "Callable[[], bool]",
    ) -> None:
        self._entrance: Final = entrance
        self._person: Final = person
        self._work: Final = work
        self._busy: Final = busy
        self._opened: Opened | None = None
        self._home: HomePage | None = None
        self._values: ValuesPage | None = None
        self._values_stand: Stand | None = None
        self._feeding = False
        self._freeing = False

    @property
    def bench(self) -> "Bench | None":
        """The board that is open."""
        return self._opened.bench if self._opened else None

    @property
    def opened(self) -> "Opened | None":
        """The same as it was met, and what is unfinished on it now."""
        return self._opened

    def open(self, opened: "Opened") -> "HomePage":
        """Its first page."""
        from benchlink.faces.screen.home import HomePage  # noqa: PLC0415 - loaded

        self._opened = opened
        self._values = self._values_stand = None
        # A confirmation lives and dies with the station that asked for it.
        self._home = HomePage(lambda: None)
        return self._home

    def values(self) -> "ValuesPage | None":
        """The page of its settings, where the one before it stood."""
        from benchlink.faces.screen.values import AT_FIRST, ValuesPage  # noqa: PLC0415 - loaded

        if self._opened is not None and self._values is None:
            self._values = ValuesPage(self._opened, self._values_stand or AT_FIRST)
        return self._values

    def leave_values(self) -> None:
        """Nobody looks at them any more: what still comes for that page is nobody's."""
        if self._values is not None:
            self._values_stand, self._values = self._values.stand, None

    def let_go(self) -> "Bench | None":
        """Nothing is open any more; gives what has to be closed."""
        bench, self._opened = self.bench, None
        self._home = self._values = self._values_stand = None
        return bench

    # What the pages want of the board.

    def look(self) -> None:
        """How the job stands."""
        bench, entrance, person = self.bench, self._entrance, self._person
        if bench is not None and not self._busy():

            def job() -> "News":
                return Looked(bench=bench, facts=entrance.job(bench, person))

            self._work.give(Errand.JOB, job, bench)

    def feed(self) -> None:
        """What feeds it, unless something else is asked of it."""
        bench, entrance = self.bench, self._entrance
        if bench is None or self._home is None:
            return
        if self._busy() or self._feeding or self._freeing:
            self._home.skipped_volts()
            return
        self._feeding = True

        def job() -> "News":
            return Fed(bench=bench, volts=entrance.volts(bench))

        self._work.give(Errand.FEED, job, bench)

    def read(self) -> None:
        """All its settings."""
        from benchlink.faces.screen import errands  # noqa: PLC0415 - first paint

        page, person = self._values, self._person
        if page is not None and not self._busy():

            def job() -> "News":
                return errands.read(page.bench, page.session, page.intent, person)

            self._work.give(Errand.READ, job, page.bench)

    def check(self) -> None:
        """Whether it is there."""
        from benchlink.faces.screen import errands  # noqa: PLC0415 - first paint

        page = self._values
        if page is not None and not self._busy():

            def job() -> "News":
                return errands.check(page.bench, page.session)

            self._work.give(Errand.CHECK, job, page.bench)

    def free(self) -> None:
        """Nothing more, and tell when all that was asked is done."""
        bench = self.bench
        if bench is not None and not self._busy() and not self._freeing:
            self._freeing = True
            self._work.give(Errand.FREE, lambda: Freed(bench=bench), bench)

    def changed(self) -> None:
        """A station has worked on it: it is looked at again."""
        if self._home is not None:
            self._home.action_look()

    # What the work thread brings.

    def take(self, news: "AboutBoard") -> None:
        """Hand it to the page that it is for; news of a board let go is nobody's."""
        if isinstance(news, Fed):
            self._feeding = False
        if news.bench is not self.bench:
            return
        match news:
            case Looked(facts=facts) if self._home is not None and self._opened:
                self._opened = replace(self._opened, left=facts.left)
                self._home.take_facts(facts)
            case Fed(volts=volts) if self._home is not None:
                self._home.take_volts(volts)
            case Read() if self._values is not None:
                self._values.take_read(news)
            case Checked() if self._values is not None:
                self._values.take_checked(news)
            case _:
                """A page that is not there any more."""

    def failed(self, failed: Failed) -> None:
        """Say so on the page that asked."""
        if failed.errand is Errand.FEED:
            self._feeding = False
        if failed.bench is not self.bench:
            return
        home = failed.errand in {Errand.JOB, Errand.FEED}
        if home and self._home is not None:
            self._home.take_failed(failed.error)
        elif self._values is not None:
            self._values.take_failed(failed)

    def tell(self, sentence: str) -> bool:
        """Said while the board was worked on; False where no page is there for it."""
        page = self._values if self._shows_values else self._home
        if page is None:
            return False
        page.tell(sentence)
        return True

    def progress(self, news: Progressed) -> None:
        """How far a reading has come."""
        if self._values is not None and self._shows_values:
            self._values.take_progress(news)

    @property
    def _shows_values(self) -> bool:
        return self._values is not None and self._values.is_current

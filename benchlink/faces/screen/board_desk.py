"""The board that is open and the pages about it: what is asked of it, and who is told."""

from dataclasses import replace
from typing import TYPE_CHECKING, Final, final

from benchlink.errors import PortLostError, WrongBoardError
from benchlink.faces.screen.threads.news import (
    Checked,
    Errand,
    Failed,
    Fed,
    Freed,
    Looked,
    Progressed,
    Read,
    Returned,
)
from benchlink.faces.screen.threads.return_wait import WAITS, ReturnWait, hint_for
from benchlink.units import Seconds

if TYPE_CHECKING:
    from collections.abc import Callable

    from benchlink.errors import BenchError
    from benchlink.faces.screen.steps.home import HomePage
    from benchlink.faces.screen.threads.entrance import Entrance
    from benchlink.faces.screen.threads.home_facts import PropsOffFor
    from benchlink.faces.screen.threads.news import AboutBoard, News, Opened
    from benchlink.faces.screen.threads.person import ScreenPerson
    from benchlink.faces.screen.threads.work import Work
    from benchlink.faces.screen.values.values import Stand, ValuesPage
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
        self._wait: ReturnWait | None = None
        """For the board that is gone; None while it is there, and where that is vain."""
        self._loss: BenchError | None = None
        """Why the board is gone."""
        self._old = False
        """Whether the steps are from before a station that the settings began."""

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
        from benchlink.faces.screen.steps.home import HomePage  # noqa: PLC0415 - loaded

        self._opened = opened
        self._values = self._values_stand = None
        self._old = False
        self._home = HomePage(self._props_off)
        return self._home

    def _props_off(self) -> "PropsOffFor | None":
        """What was confirmed at the last station, as long as it is looked after."""
        from benchlink.faces.screen.threads.home_facts import PropsOffFor  # noqa: PLC0415 - loaded

        standing = self.bench.props.standing if self.bench else None
        if standing is None:
            return None
        props = standing.props
        return PropsOffFor(
            left=Seconds(props.until - self._person.clock()),
            by=f"by {props.asked.operator}",
            void=standing.void,
        )

    def values(self) -> "ValuesPage | None":
        """The page of its settings, where the one before it stood."""
        from benchlink.faces.screen.values.values import NOT_YET, ValuesPage  # noqa: PLC0415 - loaded

        if self._opened is not None and self._values is None:
            self._values = ValuesPage(self._opened, self._values_stand or NOT_YET)
        return self._values

    def leave_values(self) -> None:
        """Nobody looks at them any more: what still comes for that page is nobody's."""
        if self._values is not None:
            self._values_stand, self._values = self._values.stand, None
        if self._old and self._home is not None:
            self._old = False
            self._home.action_look()

    def end_wait(self) -> None:
        """Nobody waits for a board that went away."""
        if self._wait is not None:
            self._wait.end()
        self._wait = self._loss = None

    def let_go(self) -> "Bench | None":
        """Nothing is open any more; gives what has to be closed."""
        self.end_wait()
        bench, self._opened = self.bench, None
        self._home = self._values = self._values_stand = None
        return bench

    # What the pages want of the board.

    def look(self) -> None:
        """How the job stands."""
        bench, entrance, person = self.bench, self._entrance, self._person
        if self._wait is not None:
            self._wait.hurry()
        elif bench is not None and not self._busy():

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
        """All its settings, and what they are held against."""
        page, bench, entrance, person = (
            self._values,
            self.bench,
            self._entrance,
            self._person,
        )
        if page is None or bench is None:
            return
        if self._gone(page, bench):
            return
        if self._busy():
            page.contact.skipped(Errand.READ)
            return

        def job() -> "News":
            return Read(bench=bench, facts=entrance.values(bench, person))

        self._work.give(Errand.READ, job, bench)

    def check(self) -> None:
        """Whether it is there."""
        from benchlink.faces.screen.threads import errands  # noqa: PLC0415 - first paint

        page, bench = self._values, self.bench
        if page is None or bench is None:
            return
        if self._busy():
            page.contact.skipped(Errand.CHECK)
            return
        session = page.contact.session

        def job() -> "News":
            return errands.check(bench, session)

        self._work.give(Errand.CHECK, job, bench)

    def _gone(self, page: "ValuesPage", bench: "Bench") -> bool:
        """Whether the board is gone, which the page is told, or told us itself."""
        contact = page.contact
        if contact.lost and self._loss is None and contact.trouble is not None:
            self._lose(contact.trouble, bench)
        elif self._loss is not None and not contact.lost:
            failed = Failed(errand=Errand.READ, error=self._loss, bench=bench)
            page.take_failed(failed)
            page.take_lost(hint_for(bench))
        elif self._wait is not None:
            self._wait.hurry()
        return self._loss is not None

    def _lose(self, error: "BenchError", bench: "Bench") -> None:
        """Both pages say it; a board that can be known again is waited for."""
        self._loss = error
        hint = hint_for(bench)
        if hint is WAITS:
            wait = self._wait = ReturnWait(bench.session, self._person)
            self._work.give(
                Errand.RETURN,
                lambda: Returned(bench=bench, port=wait.until_back()),
                bench,
            )
        if self._home is not None:
            self._home.take_failed(error)
            self._home.take_lost(hint, waits=self._wait is not None)
        if self._values is not None:
            failed = Failed(errand=Errand.READ, error=error, bench=bench)
            self._values.take_failed(failed)
            self._values.take_lost(hint)

    def _found(self, port: str) -> None:
        """The board is back: what shows is looked at anew."""
        self._wait = self._loss = None
        if self._home is not None:
            self._home.take_back(port)
        if self._values is not None:
            self._old = True
            self._values.take_back(port)
        elif self._home is not None:
            self._home.action_look()

    def free(self) -> None:
        """Nothing more, and tell when all that was asked is done."""
        bench = self.bench
        if bench is not None and not self._busy() and not self._freeing:
            self._freeing = True
            self._work.give(Errand.FREE, lambda: Freed(bench=bench), bench)

    def changed(self) -> None:
        """A station has worked on it: it is read again, and so once the steps show."""
        self._old = self._values is not None
        if self._values is not None:
            self._values.action_read()
        elif self._home is not None:
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
            case Read(facts=facts) if self._values is not None:
                self._values.take_read(facts)
            case Returned(port=port):
                self._found(port)
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
        gone = isinstance(failed.error, PortLostError | WrongBoardError)
        if gone and self._loss is None and self.bench is not None:
            self._lose(failed.error, self.bench)
        home = failed.errand in {Errand.JOB, Errand.FEED}
        if home and self._home is not None:
            self._home.take_failed(failed.error)
        elif self._values is not None and failed.errand in {Errand.READ, Errand.CHECK}:
            self._values.take_failed(failed)

    def tell(self, sentence: str) -> bool:
        """Said while the board was worked on; False where no page is there for it."""
        page = self._values if self._shows_values else self._home
        if page is None:
            return False
        if self._wait is None:
            page.tell(sentence)
        elif self._home is not None and self.bench is not None:
            # Only the wait speaks now, and only of another board.
            self._home.take_other(sentence)
            if self._values is not None:
                self._values.take_lost(f"{sentence}\n{hint_for(self.bench)}")
        return True

    def progress(self, news: Progressed) -> None:
        """How far a reading has come."""
        if self._values is not None and self._shows_values:
            self._values.take_progress(news)
        elif self._home is not None:
            self._home.take_progress(news.line)

    @property
    def _shows_values(self) -> bool:
        return self._values is not None and self._values.is_current

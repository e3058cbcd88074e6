"""The hands on a simulated aircraft: one deed after the other, never on the event loop."""

from collections import deque
from dataclasses import replace
from typing import TYPE_CHECKING, Final, final

from benchlink.errors import RigError
from benchlink.faces.hand_keys import PLAIN, WATCH, hint_for, side_in
from benchlink.faces.hands import SIDES, SINCE_LOOK, Done, Look, deed_of, do, look
from benchlink.faces.screen.threads.news import (
    Asked,
    AskedFor,
    Dialogue,
    Handled,
    Staged,
    Told,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from benchlink.faces.hands import Hands
    from benchlink.faces.screen.threads.entrance import Entrance
    from benchlink.faces.screen.threads.work import Post

SINCE_OPENED: Final = "since this aircraft was opened"
NOTHING_DONE: Final = Done(sentence="")


@final
class HandsDesk:
    """What was done, how the bench stands, and what waits to be done."""

    def __init__(
        self,
        entrance: "Entrance",
        post: "Post",
        aside: "Callable[[Callable[[], None]], None]",
    ) -> None:
        """`aside` carries a job out on a thread that may wait."""
        self._entrance: Final = entrance
        self._post: Final = post
        self._aside: Final = aside
        self._waiting: Final[deque[tuple[str, bool]]] = deque()
        self._busy = False
        self._looked = False
        """Whether the person has ever looked at what moved."""
        self.asks_line = False
        """Whether the page below waits for a typed line."""
        self.changed: Callable[[], None] = lambda: None
        """Called when there is something new to show."""
        self.look = Look()
        self.done = NOTHING_DONE
        self.reading = ""
        """What the jig shows; empty when anything was done or said since it was read."""
        self.side = SIDES[0]
        """The side that the person is at."""
        self.hint = PLAIN
        self.said = ""
        """What a workflow told last: the panel may stand over it."""

    @property
    def here(self) -> bool:
        """Whether the board that is open hangs in an aircraft that we simulate."""
        return self._entrance.hands is not None

    def begin(self) -> None:
        """An aircraft was opened: what moved before that was seen by nobody."""
        self._looked = False
        self.done, self.reading = NOTHING_DONE, ""
        self.want(WATCH, quiet=True)

    def at(self, verb: str) -> None:
        """Another station, by the verb that it works like; empty: none."""
        self.said, self.asks_line = "", False
        self.hint = hint_for(verb)

    def hear(self, news: "Dialogue") -> None:
        """Follow what is said to the person: which side is it about?"""
        match news:
            case Told(sentence=text):
                self.side = side_in(text, self.side)
                self.said = text or self.said
                self._goes_on()
            case Asked(prompt=text, for_what=for_what):
                self.side = side_in(text, self.side)
                self.asks_line = for_what in {AskedFor.LINE, AskedFor.UNSEEN}
                self._goes_on()
            case Staged():
                self._goes_on()
            case _:
                """It names no side."""

    def _goes_on(self) -> None:
        """What works below may have moved the arm that was read."""
        self.reading = ""
        self.changed()

    def open(self) -> None:
        """The person looks at the bench: what has moved, and how does it stand?"""
        self.reading = ""
        self.want(WATCH)

    def leave(self) -> None:
        """What moves from now on is told at the next opening."""
        self.changed = lambda: None
        self.want(WATCH, quiet=True)

    def drop(self, keys: int) -> None:
        """Tell of keys that did nothing, because they were typed as words are."""
        self.done = Done(
            sentence=f"{keys} keys came as fast as words are typed, so nothing was done"
            " with them. F2 closes this; a key by itself does what it says."
        )
        self.changed()

    def turn(self) -> None:
        """Go to the other side of the aircraft."""
        self.side = SIDES[1 - SIDES.index(self.side)]
        self.reading = ""
        self.changed()

    def want(self, words: str, *, quiet: bool = False) -> None:
        """Have a deed done after those that wait; a quiet one is not told of."""
        self._waiting.append((words, quiet))
        self._next()

    def take(self, news: "Handled") -> None:
        """One is done."""
        self._busy = False
        if news.look is not None:
            self.look = news.look
        if news.done is not None:
            self.done = self._first_look(news.done)
            self.reading = news.done.reading
        self.changed()
        self._next()

    def _first_look(self, done: Done) -> Done:
        if self._looked or SINCE_LOOK not in done.sentence:
            return done
        self._looked = True
        return replace(done, sentence=done.sentence.replace(SINCE_LOOK, SINCE_OPENED))

    def _next(self) -> None:
        hands = self._entrance.hands
        if self._busy or not self._waiting or hands is None:
            return
        words, quiet = self._waiting.popleft()
        self._busy = True
        self._aside(lambda: self._post(handled(words, hands, quiet=quiet)))


def handled(words: str, hands: "Hands", *, quiet: bool) -> "Handled":
    """Do it, then look; what goes wrong is told as well."""
    deed = deed_of(words)
    try:
        done = None if deed is None else do(deed, hands)
        return Handled(done=None if quiet else done, look=look(hands))
    except RigError as exc:
        return Handled(done=Done(sentence=f"No: {exc}. {exc.hint}"), look=None)

"""The hands on a simulated aircraft: one deed after the other, never on the event loop."""

from collections import deque
from typing import TYPE_CHECKING, Final, final

from benchlink.errors import RigError
from benchlink.faces.hand_keys import PLAIN, hint_for, side_in
from benchlink.faces.hands import SIDES, Done, Look, deed_of, do, look
from benchlink.faces.screen.news import Asked, Dialogue, Handled, Told

if TYPE_CHECKING:
    from collections.abc import Callable

    from benchlink.faces.hands import Hands
    from benchlink.faces.screen.entrance import Entrance
    from benchlink.faces.screen.work import Post

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
        self.changed: Callable[[], None] = lambda: None
        """Called when there is something new to show."""
        self.look = Look()
        self.done = NOTHING_DONE
        self.reading = ""
        """What the jig showed last; empty before, and once it was used."""
        self.side = SIDES[0]
        """The side that the person is at."""
        self.hint = PLAIN
        self.said = ""
        """What a workflow told last: the panel may stand over it."""

    @property
    def here(self) -> bool:
        """Whether the board that is open hangs in an aircraft that we simulate."""
        return self._entrance.hands is not None

    def at(self, verb: str) -> None:
        """Another station, by the verb that it works like; empty: none."""
        self.said = ""
        self.hint = hint_for(verb)

    def hear(self, news: "Dialogue") -> None:
        """Follow what is said to the person: which side is it about?"""
        match news:
            case Told(sentence=text):
                self.side = side_in(text, self.side)
                self.said = text or self.said
                self.changed()
            case Asked(prompt=text):
                self.side = side_in(text, self.side)
                self.changed()
            case _:
                """It names no side."""

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
            self.done = news.done
            self.reading = news.done.reading or self.reading
        self.changed()
        self._next()

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

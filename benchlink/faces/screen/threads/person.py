"""The person as a workflow on the work thread sees them: every question waits for them.

The workflow's thread sleeps on a queue until the page has an answer, and looks after what
is held still meanwhile. An interrupt comes as `KeyboardInterrupt` at the next word of the
workflow, as Ctrl-C does at a plain terminal, so that the same ways back are taken.
"""

import queue
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Final, final

from benchlink.core.slips import yes_or_no
from benchlink.faces.advance_words import AdvanceWords
from benchlink.faces.held import HELD_FOR, LET_GO, LOST, unanswered, unreachable
from benchlink.faces.screen.threads.news import (
    Asked,
    AskedFor,
    Counted,
    Planned,
    Progressed,
    Resulted,
    Showed,
    Staged,
    Told,
)
from benchlink.faces.screen.threads.pulse import Listening
from benchlink.units import Seconds

if TYPE_CHECKING:
    from benchlink.core.advance import Advance
    from benchlink.core.plan import Plan
    from benchlink.core.scene import Scene
    from benchlink.faces.screen.threads.pulse import Pulse
    from benchlink.faces.screen.threads.work import Post

SHOW_EVERY: Final = Seconds(0.05)
"""Twenty times a second is as fast as anyone reads, and cheap over a slow line."""

LONG_AGO: Final = Seconds(float("-inf"))

STRAY: Final = "other"
"""A key without a word: it stops whatever listens for keys."""

GONE: Final = ("gone",)
"""Nobody can press one any more."""

LOOK_S: Final = 0.1
"""How often a waiting workflow looks after what it holds."""


@final
class ScreenPerson:
    """Asks on the page and waits there; used on the work thread but for the last part."""

    def __init__(
        self,
        post: "Post",
        clock: Callable[[], Seconds],
        pulse: "Pulse | None" = None,
    ) -> None:
        """Without a pulse nobody can tell that the page does not follow any more."""
        self._post: Final = post
        self._pulse: Final = pulse
        self.clock: Final = clock
        """The time of this screen."""
        self._shown = LONG_AGO
        self._shows_progress = False
        self._advancing: Final = AdvanceWords()
        self._answers: Final[queue.SimpleQueue[str]] = queue.SimpleQueue()
        self._pressed: Final[queue.SimpleQueue[str]] = queue.SimpleQueue()
        self._interrupted: Final = threading.Event()
        self.columns = 80
        """How wide a line may be; the page that shows says so."""

    def tell(self, sentence: str) -> None:
        """Say it on the screen, and only then see whether to end: nothing said is lost."""
        self._post(Told(sentence=sentence))
        self._heed()

    def pause(self, for_s: Seconds, /) -> None:
        """Let time pass; an interrupt ends it at once."""
        self._interrupted.wait(max(0.0, for_s))
        self._heed()

    def result(self, line: str) -> None:
        """A line of what came out."""
        self._post(Resulted(line=line))

    def done(self) -> None:
        """Nothing is in progress any more."""
        self._advancing.over()
        if self._shows_progress:
            self._shows_progress = False
            self._shown = LONG_AGO
            self._post(Progressed(line=""))

    def progress(self, advance: "Advance") -> None:
        """Show it, unless the last one is still fresh."""
        self._heed()
        now = self.clock()
        line = self._advancing.line(advance, now)
        if now - self._shown >= SHOW_EVERY:
            self._shown, self._shows_progress = now, True
            self._post(Progressed(line=line))

    def show_plan(self, plan: "Plan") -> None:
        """Every change with its reason, as lines."""
        self._heed()
        self._post(Planned(plan=plan))

    def show_scene(self, scene: "Scene | None") -> None:
        """How things stand; the page draws the latest, as often as it can."""
        self._post(Staged(scene=scene))
        self._heed()

    def agrees(self, question: str) -> bool:
        """Only a typed yes is a yes."""
        return yes_or_no(self.types, f"{question} [yes/no]")

    def types(self, prompt: str) -> str:
        """A typed line."""
        return self._answer(prompt, AskedFor.LINE, _nothing)

    def whispers(self, prompt: str) -> str:
        """A typed line that does not show."""
        return self._answer(prompt, AskedFor.UNSEEN, _nothing)

    def types_while(self, prompt: str, meanwhile: Callable[[], None]) -> str:
        """A typed line while somebody looks on."""
        return self._answer(prompt, AskedFor.LINE, self._within_reach(meanwhile))

    def reads(self, prompt: str, meanwhile: Callable[[], None]) -> str:
        """A typed line; whatever is held still is kept so, for minutes at most."""
        until = self.clock() + HELD_FOR

        def held() -> None:
            if self.clock() > until:
                self._post(Told(sentence=LET_GO, rings=True))
                raise unanswered()
            meanwhile()

        return self._answer(prompt, AskedFor.LINE, self._within_reach(held))

    @contextmanager
    def keys(self, prompt: str) -> "Iterator[ScreenKeys]":
        """Key by key."""
        self._heed()
        _empty(self._pressed)
        self._post(Asked(prompt=prompt, for_what=AskedFor.KEYS))
        try:
            yield ScreenKeys(self._pressed, self._post, self._heed, self._listening())
        finally:
            self._post(Asked(prompt="", for_what=AskedFor.NOTHING))

    def waits_for(
        self,
        word: str,
        within: Seconds,
        prompt: Callable[[Seconds], str],
        meanwhile: Callable[[], None],
    ) -> bool:
        """Count down beside a question; only the typed word, in time, is a yes."""
        _empty(self._answers)
        until = Seconds(self.clock() + within)
        self._post(Asked(prompt=prompt(within), for_what=AskedFor.LINE))
        try:
            while (left := until - self.clock()) > 0:
                self._heed()
                self._post(Counted(prompt=prompt(Seconds(left))))
                try:
                    return self._answers.get(timeout=min(left, 1.0)).strip() == word
                except queue.Empty:
                    meanwhile()
            return False
        finally:
            self._post(Asked(prompt="", for_what=AskedFor.NOTHING))

    # From the page, on the event loop.

    def answer(self, typed: str) -> None:
        """What was typed at the question that stands there."""
        self._answers.put(typed)

    def press(self, key: str) -> None:
        """A key, while keys are asked for."""
        self._pressed.put(key)

    def interrupt(self) -> None:
        """The workflow shall end at its next word; whatever it holds goes back."""
        self._interrupted.set()
        # Whoever waits for a key does not wait on.
        self._pressed.put(STRAY)

    def attend(self) -> None:
        """Somebody asks from now on: what ended the work before does not end this."""
        self._interrupted.clear()

    def begin(self) -> None:
        """A new piece of work: what was asked of the last one is over."""
        self.attend()
        _empty(self._answers)
        _empty(self._pressed)

    def _answer(
        self, prompt: str, for_what: AskedFor, meanwhile: Callable[[], None]
    ) -> str:
        self._heed()
        # What was typed before a question was asked does not answer it.
        _empty(self._answers)
        self._post(Asked(prompt=prompt, for_what=for_what))
        try:
            while True:
                try:
                    return self._answers.get(timeout=LOOK_S)
                except queue.Empty:
                    self._heed()
                    meanwhile()
        finally:
            self._post(Asked(prompt="", for_what=AskedFor.NOTHING))

    def _within_reach(self, meanwhile: Callable[[], None]) -> Callable[[], None]:
        """The same, as long as the page follows: else nothing is kept alive for it."""
        listening = self._listening()

        def look() -> None:
            if listening is not None and listening.lost():
                self._post(Told(sentence=LOST, rings=True))
                raise unreachable()
            meanwhile()

        return look

    def _listening(self) -> Listening | None:
        return Listening(self._pulse) if self._pulse is not None else None

    def _heed(self) -> None:
        if self._interrupted.is_set():
            self._interrupted.clear()
            raise KeyboardInterrupt


@final
class ScreenKeys:
    """The keyboard of the page, key by key."""

    def __init__(
        self,
        pressed: "queue.SimpleQueue[str]",
        post: "Post",
        heed: Callable[[], None],
        listening: Listening | None,
    ) -> None:
        self._pressed: Final = pressed
        self._post: Final = post
        self._heed: Final = heed
        self._listening: Final = listening

    def pressed(self, within: Seconds) -> tuple[str, ...]:
        """What came together within the time."""
        self._heed()
        try:
            keys = [self._pressed.get(timeout=max(0.0, within))]
        except queue.Empty:
            lost = self._listening is not None and self._listening.lost()
            return GONE if lost else ()
        self._heed()
        while True:
            try:
                keys.append(self._pressed.get_nowait())
            except queue.Empty:
                return tuple(keys)

    def show(self, text: str) -> None:
        """One line over the one before."""
        self._post(Showed(text=text))


def _nothing() -> None:
    """Nothing is held."""


def _empty(waiting: "queue.SimpleQueue[str]") -> None:
    while True:
        try:
            waiting.get_nowait()
        except queue.Empty:
            return

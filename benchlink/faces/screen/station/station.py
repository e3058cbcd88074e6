"""The page of one piece of work: what it says, what it asks, and the keys for it.

It draws what a workflow on the work thread says, and hands back what the person types. It
decides nothing. While single keys are asked for, every key goes to the workflow first,
so that a stop never waits for a widget.
"""

from typing import TYPE_CHECKING, ClassVar, Final, final

from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widgets import Input, Static

from benchlink.faces.screen.frame import wording
from benchlink.faces.screen.frame.keys import OVER_KEYS, STATION_KEYS, foot
from benchlink.faces.screen.frame.page import Page
from benchlink.faces.screen.frame.safe_text import plain
from benchlink.faces.screen.station.said_log import SaidLog
from benchlink.faces.screen.station.scene_box import SceneBox
from benchlink.faces.screen.threads.news import (
    Asked,
    AskedFor,
    Counted,
    Dialogue,
    Planned,
    Progressed,
    Resulted,
    Showed,
    Staged,
    Told,
)
from benchlink.faces.screen.threads.person import STRAY
from benchlink.faces.wording import plan_lines

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.widget import Widget

    from benchlink.core.scene import Scene
    from benchlink.errors import BenchError
    from benchlink.faces.screen.frame.keys import Key
    from benchlink.faces.screen.frame.offers import Offer
    from benchlink.faces.screen.threads.person import ScreenPerson

ENDINGS: Final = {
    0: "Done.",
    1: "Done: there is something to look at above.",
    3: "Done, but not proven over a restart: see above.",
}
"""By exit code, as the verbs have them."""

KEY_WORDS: Final = {"return": "enter", "ctrl+m": "enter", "ctrl+j": "enter"}
"""Names of keys that workflows know under another word."""


MODIFIERS: Final = frozenset({"alt", "ctrl", "super", "hyper", "meta"})


@final
class StationPage(Page):
    """One station, from its first word to its last."""

    # Nothing has the focus until a line is asked for: a key must not be typed unseen.
    AUTO_FOCUS: ClassVar[str | None] = ""
    WAY_OUT: ClassVar[str] = "ctrl+c to end the work"

    KEYS: ClassVar[tuple["Key", ...]] = STATION_KEYS
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f1", "help", show=False, priority=True),
        Binding("escape", "back", show=False),
        Binding("enter", "back", show=False),
        Binding("pageup", "scroll(-1)", show=False, priority=True),
        Binding("pagedown", "scroll(1)", show=False, priority=True),
    ]

    class Left(Message):
        """The station is over, and the person goes back."""

    def __init__(
        self, title: str, person: "ScreenPerson", begun: tuple[Dialogue, ...] = ()
    ) -> None:
        """`begun` was said before the page was there."""
        super().__init__()
        self._early: list[Dialogue] | None = list(begun)
        """What came before the page stands; None once it does."""
        self._title: Final = title
        self._person: Final = person
        self._for_what = AskedFor.NOTHING
        self._prompt = ""
        self._ending = ""
        """How it ended; empty while it runs."""

    @property
    def listens(self) -> bool:
        """Whether single keys are asked for."""
        return self._for_what is AskedFor.KEYS

    @property
    def hushed(self) -> bool:
        """Whether a line is typed that must not show."""
        return self._for_what is AskedFor.UNSEEN

    @property
    def idle(self) -> frozenset[str]:
        """Those of its keys that do nothing now; an answer has to be typed."""
        return frozenset({"enter", "ctrl+c"} if self.over else {"enter"})

    def offers(self) -> "Iterator[Offer]":
        """The way back, once it is over."""
        from benchlink.faces.screen.frame.offers import Offer  # noqa: PLC0415 - when asked

        if self.over:
            yield Offer("back", "to the steps of the job; key enter", self.action_back)

    @property
    def over(self) -> bool:
        """Whether the station has ended."""
        return bool(self._ending)

    def parts(self) -> "Iterator[Widget]":
        """From the heading down to the keys."""
        yield Static("", id="title", markup=False)
        yield SceneBox(self._person.clock, id="scene")
        yield SaidLog()
        yield Static("", id="progress", markup=False)
        yield Static("", id="question", markup=False)
        yield Input(id="typed", compact=True)
        yield Static("", id="keys", markup=False)

    def on_mount(self) -> None:
        """Nothing is asked yet."""
        self.watch(self.app, "app_focus", self._focus_changed, init=False)
        self._settle()
        early, self._early = self._early or [], None
        for news in early:
            self.take(news)

    # What the workflow says.

    def take(self, news: Dialogue) -> None:
        """Show what is said, or ask what is asked."""
        if self._early is None:
            self._show(news)
        else:
            self._early.append(news)

    def _show(self, news: Dialogue) -> None:
        match news:
            case Told():
                self._told(news)
            case Resulted(line=line):
                self._write(line)
            case Planned(plan=plan):
                for line in plan_lines(plan, self.cells):
                    self._write(line)
            case Progressed(line=line):
                self.write("progress", plain(line))
            case Asked(prompt=prompt, for_what=for_what):
                self._ask(prompt, for_what)
            case Counted() | Showed() | Staged():
                self._take_live(news)

    def _told(self, news: Told) -> None:
        self._write(news.sentence)
        if news.rings:
            self.app.bell()

    def _take_live(self, news: Counted | Showed | Staged) -> None:
        """What changes while somebody looks at it."""
        match news:
            case Counted(prompt=prompt):
                self._prompt = prompt
                self.write("question", prompt)
            case Showed(text=text):
                self.write("progress", text)
            case Staged(scene=scene):
                self._stage(scene)

    def _stage(self, scene: "Scene | None") -> None:
        box = self.query_one(SceneBox)
        if scene is None:
            box.take_away()
        else:
            box.show_scene(scene)

    def ended(self, code: int) -> None:
        """It came to its end."""
        self._end(ENDINGS.get(code, "Not done: see above."))

    def failed(self, error: "BenchError") -> None:
        """It came to nothing; says why, and what is safe now."""
        for line in wording.trouble_lines(error):
            self._write(line)
        self._end("Not done: see above.")

    # What the person does.

    def on_input_submitted(self, message: Input.Submitted) -> None:
        """Hand over what was typed, and show it in the log."""
        message.stop()
        if self._for_what not in {AskedFor.LINE, AskedFor.UNSEEN}:
            return
        if self.is_small:
            # What nobody sees is no answer: it stands there when the window has grown.
            return
        shown = "*****" if self._for_what is AskedFor.UNSEEN else message.value
        self._write(f"{self._prompt.rstrip()} {shown}")
        self._ask("", AskedFor.NOTHING)
        self._person.answer(message.value)

    def on_key(self, event: events.Key) -> None:
        """Each key goes to the workflow at once, unless a line is typed.

        Also where this page has not heard yet that keys are asked for: the workflow knows
        from when on they count, and a stop must not be lost on the way.
        """
        if self.over or self._for_what in {AskedFor.LINE, AskedFor.UNSEEN}:
            return
        self._person.press(key_word(event))
        if self.listens:
            event.stop()
            event.prevent_default()

    def on_paste(self, event: events.Paste) -> None:
        """A paste is no key: it stops whatever listens for keys."""
        if self.listens:
            event.stop()
            event.prevent_default()
            self._person.press(STRAY)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Nothing is done by a key that a workflow waits for: help and looking back wait."""
        if self.listens and action in {"help", "scroll"}:
            return False
        return super().check_action(action, parameters)

    def _focus_changed(self, focused: bool) -> None:  # noqa: FBT001 - textual's watcher
        """Somebody who looks at another window does not look at what runs."""
        if not focused and not self.over:
            self._person.press(STRAY)

    def fill(self, text: str) -> None:
        """Put a text where a line is asked for; it is not sent by that."""
        if self._for_what is AskedFor.LINE:
            typed = self.query_one("#typed", Input)
            typed.value = text
            typed.cursor_position = len(text)

    def on_screen_suspend(self) -> None:
        """Whoever looks at another page does not look at what runs either."""
        if not self.over:
            self._person.press(STRAY)

    def interrupt(self) -> None:
        """End it at its next word; what it holds goes back first."""
        self._person.interrupt()
        if self._for_what is AskedFor.KEYS:
            self._person.press("escape")
        self._write("Ending: whatever stands or was written is put back first.")

    def action_back(self) -> None:
        """Leave a station that is over."""
        if self.over:
            self.post_message(self.Left())

    def action_scroll(self, pages: int) -> None:
        """Look at what was said before."""
        self.query_one(SaidLog).look_back(pages)

    def refocus(self) -> None:
        """Only a line that is asked for may be typed."""
        if self._for_what in {AskedFor.LINE, AskedFor.UNSEEN}:
            self.query_one("#typed", Input).focus()

    def rewrite(self) -> None:
        """Heading, scene and all that was said, for the width there is now."""
        self.query_one(SaidLog).fit(self.cells)
        self._person.columns = self.cells
        self.write("title", self._title)
        self.query_one(SceneBox).redraw()

    def _write(self, text: str) -> None:
        self.query_one(SaidLog).say(text)

    def _ask(self, prompt: str, for_what: AskedFor) -> None:
        self._prompt, self._for_what = prompt, for_what
        # What was in progress is over when something is asked, or was answered.
        self.write("progress", "")
        self._settle()

    def _end(self, how: str) -> None:
        self._ending = how
        self._prompt, self._for_what = how, AskedFor.NOTHING
        self.write("progress", "")
        self.query_one(SceneBox).take_away()
        self._settle()

    def _settle(self) -> None:
        """Question, input and foot line for what is wanted now."""
        asks_line = self._for_what in {AskedFor.LINE, AskedFor.UNSEEN}
        typed = self.query_one("#typed", Input)
        typed.value = ""
        typed.password = self._for_what is AskedFor.UNSEEN
        typed.display = asks_line
        self.write("question", self._prompt)
        if asks_line:
            typed.focus()
        else:
            self.set_focus(None)
        self.write("keys", self._foot())

    def _foot(self) -> str:
        if self.over:
            return foot(OVER_KEYS, self.cells)
        if self._for_what is AskedFor.KEYS:
            return "the keys above   ctrl+c end it"
        if self._for_what is AskedFor.NOTHING:
            keys = tuple(key for key in STATION_KEYS if key.key != "enter")
            return foot(keys, self.cells)
        if self.hushed:
            return foot(tuple(k for k in STATION_KEYS if not k.spare), self.cells)
        return foot(STATION_KEYS, self.cells)


def key_word(event: events.Key) -> str:
    """A key under the word that workflows know."""
    key = KEY_WORDS.get(event.key, event.key)
    if MODIFIERS & set(key.split("+")):
        return STRAY
    if event.character and event.is_printable and event.character != " ":
        return event.character
    known = {"enter", "space", "escape", "left", "right", "up", "down", "backspace"}
    return key if key in known else STRAY

"""The person at a plain terminal: sentences on stderr, so that stdout stays data."""

import os
import select
import shutil
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from getpass import getpass
from io import UnsupportedOperation
from typing import Final, TextIO, final

from benchlink.core.advance import Advance
from benchlink.core.doors import Keys
from benchlink.core.plan import Plan
from benchlink.core.scene import Scene
from benchlink.core.slips import yes_or_no
from benchlink.faces.advance_words import AdvanceWords
from benchlink.faces.held import HELD_FOR, LET_GO, unanswered
from benchlink.faces.plain_keys import NoKeys, terminal_keys
from benchlink.faces.wording import plain, plan_lines
from benchlink.units import Seconds

if sys.platform != "win32":
    import termios

LONGEST_TYPED: Final = 4096
"""A terminal hands over a line at a time, and no longer one (POSIX MAX_CANON)."""
LOOK_S: Final = 0.1
"""How often whoever waits for a line looks after what is held still."""
PLAIN: Final = "dumb"
"""The name of a terminal that nothing is drawn over on: line after line (terminfo)."""
BELL: Final = "\a"
TICK_S: Final = 1.0
"""How often a countdown is drawn anew."""


@final
class PlainPerson:
    """Talks to whoever sits at the terminal; in a pipe nobody can be asked."""

    def __init__(
        self,
        stdin: TextIO | None = None,
        stdout: TextIO | None = None,
        stderr: TextIO | None = None,
        asks: Callable[[str], str] | None = None,
        *,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        """`asks` reads typed lines where something else than the system edits them."""
        self._stdin: Final = stdin or sys.stdin
        self._stdout: Final = stdout or sys.stdout
        self._stderr: Final = stderr or sys.stderr
        self._draws: Final = self._stderr.isatty() and os.environ.get("TERM") != PLAIN
        self._asks: Final = asks
        self._clock: Final = clock
        self._drawn = ""
        """What stands on the line that is drawn over."""
        self._stood = ""
        """What was said last of how things stand, where nothing is drawn."""
        self._advancing: Final = AdvanceWords()

    def tell(self, sentence: str) -> None:
        """Say what is happening."""
        self._wipe()
        self._say(plain(sentence) + "\n")

    def progress(self, advance: Advance) -> None:
        """One line drawn over itself on a terminal, nothing in a pipe.

        Where nothing is drawn over, whoever sits there is told each step once.
        """
        if self._draws:
            self._draw(self._advancing.line(advance, Seconds(self._clock())))
        else:
            self._stand(f"{advance.what} ...")

    @property
    def columns(self) -> int:
        """How wide the terminal is; 80 where nobody knows."""
        return shutil.get_terminal_size().columns

    def show_plan(self, plan: Plan) -> None:
        """Every change with its reason."""
        self.result("\n".join(map(plain, plan_lines(plan, self.columns))))

    def show_scene(self, scene: Scene | None) -> None:
        """Nothing: the words say it all."""

    def result(self, text: str, /) -> None:
        """On stdout, at once and in one piece."""
        self._wipe()
        print(text, file=self._stdout, flush=True)

    def agrees(self, question: str) -> bool:
        """Only a typed yes is a yes."""
        return yes_or_no(self.types, f"{question} [yes/no] ")

    def types(self, prompt: str) -> str:
        """A typed line; empty where nobody can type."""
        self._wipe()
        if self._asks is not None:
            return self._asks(plain(prompt))
        if not self._stdin.isatty():
            return ""
        self._forget_typed_ahead()
        self._say(plain(prompt))
        return self._line()

    def types_while(self, prompt: str, meanwhile: Callable[[], None]) -> str:
        """A typed line while somebody looks on, however long it takes."""
        return self._typed_while(prompt, meanwhile)

    def reads(self, prompt: str, meanwhile: Callable[[], None]) -> str:
        """A typed line; whatever is held still is kept so, for minutes at most."""
        until = self._clock() + HELD_FOR

        def held() -> None:
            if self._clock() > until:
                self._say(f"{BELL}\n{LET_GO}\n")
                raise unanswered()
            meanwhile()

        return self._typed_while(prompt, held)

    def _typed_while(self, prompt: str, meanwhile: Callable[[], None]) -> str:
        self._wipe()
        if not self._stdin.isatty():
            return ""
        self._forget_typed_ahead()
        self._say(plain(prompt))
        while not select.select([self._stdin], [], [], LOOK_S)[0]:
            meanwhile()
        return self._line()

    def pause(self, for_s: Seconds, /) -> None:
        """Ctrl-C interrupts it as it does everything here."""
        time.sleep(for_s)

    @contextmanager
    def keys(self, prompt: str) -> Iterator[Keys]:
        """Key by key; in a pipe nobody presses one."""
        self._wipe()
        if not self._stdin.isatty():
            yield NoKeys()
            return
        with terminal_keys(self._stdin.fileno(), self._stand) as keys:
            # Said once keys count: what was typed before it is forgotten, nothing after.
            self._say(plain(prompt))
            yield keys

    def whispers(self, prompt: str) -> str:
        """A typed line that does not show."""
        self._wipe()
        if not self._stdin.isatty():
            return ""
        return getpass(plain(prompt), self._stderr)

    def waits_for(
        self,
        word: str,
        within: Seconds,
        prompt: Callable[[Seconds], str],
        meanwhile: Callable[[], None],
    ) -> bool:
        """Count down beside a prompt; only the typed word, in time, is a yes."""
        self._forget_typed_ahead()
        until = time.monotonic() + within
        can_type = self._stdin.isatty()
        if can_type and not self._draws:
            # Said once: a countdown that is read out hides what is to be typed.
            self._say(plain(prompt(within)) + "\n")
        while (left := until - time.monotonic()) > 0:
            self._draw(prompt(Seconds(left)))
            if not can_type:
                time.sleep(min(left, TICK_S))
            elif select.select([self._stdin], [], [], min(left, TICK_S))[0]:
                typed = self._line()
                self._drawn = ""
                return typed.strip() == word
            meanwhile()
        self._wipe()
        return False

    def done(self) -> None:
        """Leave no half-drawn line behind."""
        self._advancing.over()
        self._wipe()

    def _forget_typed_ahead(self) -> None:
        """What was typed before a question was asked does not answer it."""
        if sys.platform != "win32" and self._stdin.isatty():
            with suppress(OSError, termios.error):
                termios.tcflush(self._stdin.fileno(), termios.TCIFLUSH)

    def _line(self) -> str:
        """One line from the terminal, past Python's own buffer; empty when it is gone."""
        try:
            terminal = self._stdin.fileno()
        except UnsupportedOperation:  # not a file of the system: nothing is typed ahead
            return self._stdin.readline().rstrip("\n")
        try:
            typed = os.read(terminal, LONGEST_TYPED)
        except OSError:
            return ""
        return typed.decode("utf-8", "replace").rstrip("\r\n")

    def _say(self, text: str) -> None:
        """A terminal that was closed must not keep the old values from going back."""
        with suppress(OSError):
            self._stderr.write(text)
            self._stderr.flush()

    def _stand(self, text: str) -> None:
        """How things stand: over the line before, or as a line where it is news."""
        if self._draws:
            self._draw(text)
        elif self._stdin.isatty() and text != self._stood:
            self._stood = text
            self._say(plain(text) + "\n")

    def _draw(self, text: str) -> None:
        """One line over the one before."""
        if not self._draws:
            return
        text = plain(text)[: self.columns - 1]
        if text != self._drawn:
            self._say("\r" + text.ljust(len(self._drawn)))
            self._drawn = text

    def _wipe(self) -> None:
        if self._drawn:
            self._say("\r" + " " * len(self._drawn) + "\r")
            self._drawn = ""

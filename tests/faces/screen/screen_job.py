"""A person at the full screen: goes to a step, begins it, answers what it asks."""

import re
import sys
from collections.abc import Callable, Mapping
from typing import Final, final

from tests.faces.running import Workshop
from tests.faces.screen.screen_terminal import Terminal

Reply = Callable[[str], str]
"""What is typed at a question, from all that stands there."""
STEPS: Final = 19
PLUGGED_IN: Final = " simulated aircraft  "
ASKS: Final = "enter answer"
LISTENS: Final = "the keys above"
OVER: Final = "enter back"
SIZE: Final = (150, 50)


@final
class AtScreen:
    """The program in a terminal of its own, in a workshop."""

    def __init__(
        self, workshop: Workshop, *words: str, size: tuple[int, int] = SIZE
    ) -> None:
        self.terminal: Final = Terminal(
            [sys.executable, "-m", "benchlink", *words],
            workshop.folder,
            workshop.environment,
            size,
        )

    def __enter__(self) -> "AtScreen":
        return self

    def __exit__(self, *_: object) -> None:
        self.terminal.close()

    @property
    def text(self) -> str:
        """What stands there."""
        return self.terminal.text()

    @property
    def foot(self) -> str:
        """The line of keys."""
        return self.text.rstrip("\n").rsplit("\n", 1)[-1]

    @property
    def question(self) -> str:
        """What is asked; empty where nothing is."""
        if ASKS not in self.foot:
            return ""
        lines = self.text.split("\n")[:-2]
        asked: list[str] = []
        while lines and (line := lines.pop().strip()):
            asked.insert(0, line)
        return " ".join(asked)

    @property
    def typed(self) -> str:
        """What stands where a line is typed."""
        return self.text.split("\n")[-2].strip()

    def open(self) -> None:
        """Open the simulated aircraft that is plugged in, and wait for the steps."""
        self.go_to(" > ", PLUGGED_IN)
        self.terminal.type("\r")
        self.see_steps()

    def go_to(self, mark: str, title: str) -> None:
        """Move the cursor down until it stands on a row with that title."""
        self.terminal.until(title)
        for _ in range(STEPS):
            (row,) = [x for x in self.text.split("\n") if x.startswith(mark)]
            if title in row:
                return
            self.terminal.type("\x1b[B")
            self.terminal.until_gone(f"\n{row}")
        msg = f"no row {title!r}:\n{self.text}"
        raise AssertionError(msg)

    def see_steps(self) -> None:
        """Wait until the steps stand there, and the board was looked at."""
        self.terminal.until(f"of {STEPS}")
        self.terminal.until_gone("looking at the board")

    def begin(self, title: str) -> None:
        """Begin the step that is called so."""
        self.go_to(" > [", title)
        self.terminal.type("\r")
        self.terminal.until_met(
            lambda: self.text.startswith(f" {title}"), f"the station {title!r}"
        )

    def answer(self, typed: str) -> None:
        """Type an answer; back when it was taken."""
        before = self.question
        self.terminal.type(typed)
        self.terminal.until_met(lambda: self.typed == typed, f"{typed!r} typed")
        self.terminal.type("\r")
        if typed:
            self.terminal.until_met(lambda: self.typed != typed, f"{typed!r} taken")
        else:
            self.terminal.until_met(lambda: self.question != before, "Enter taken")

    def carry_through(self, replies: Mapping[str, Reply | str], to: str = "") -> str:
        """Answer all until a question with `to` in it, or the end; gives what then shows."""
        while True:
            self.terminal.until_met(
                lambda: bool(self.question) or OVER in self.foot,
                "a question or the end",
            )
            self.terminal.settle()
            if OVER in self.foot or (to and to in self.question):
                return self.text
            self.answer(self._reply(replies))

    def back(self) -> None:
        """Leave a station that is over, and wait for the steps."""
        self.terminal.type("\r")
        self.see_steps()

    def _reply(self, replies: Mapping[str, Reply | str]) -> str:
        asked = self.question
        for pattern, reply in replies.items():
            if re.search(pattern, asked):
                return reply if isinstance(reply, str) else reply(self.text)
        msg = f"nobody knows the answer to {asked!r}:\n{self.text}"
        raise AssertionError(msg)

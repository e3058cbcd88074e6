"""The prompt: a line with history and completion, and questions that no paste answers."""

import asyncio
import os
import select
import sys
from collections import deque
from collections.abc import Callable, Iterable
from typing import Final, final

from prompt_toolkit import PromptSession
from prompt_toolkit.application import get_app, run_in_terminal
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.history import DummyHistory, History
from prompt_toolkit.input import Input
from prompt_toolkit.input.typeahead import get_typeahead
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.keys import Keys
from prompt_toolkit.output import Output

from benchlink.console.offers import Offers
from benchlink.errors import BenchError

LISTEN_EVERY_S: Final = 0.1
"""Between two looks at what the board says unasked, while somebody types."""
SETTLES_S: Final = 0.15
"""Keys that come closer together than this, when a question is asked, are a paste."""
CHUNK: Final = 4096


class AbandonedError(Exception):
    """The line was given up (Ctrl-C); nothing of it goes anywhere."""


@final
class Questions:
    """Another prompt than that for lines: nothing typed before it, no paste answers."""

    def __init__(
        self, *, terminal: Input | None = None, output: Output | None = None
    ) -> None:
        self._session: Final[PromptSession[str]] = PromptSession(
            history=DummyHistory(),
            key_bindings=_refusing_pastes(),
            interrupt_exception=AbandonedError,
            input=terminal,
            output=output,
        )

    @property
    def terminal(self) -> Input:
        """Where keys come from."""
        return self._session.app.input

    @property
    def output(self) -> Output:
        """Where the prompt is drawn."""
        return self._session.app.output

    def ask(self, prompt: str) -> str:
        """What is typed once the question stands there; empty where it is given up."""
        self._drop_typed_ahead()
        try:
            return self._session.prompt(prompt)
        except (AbandonedError, EOFError):
            return ""

    def _drop_typed_ahead(self) -> None:
        """What was typed before a question was asked does not answer it."""
        get_typeahead(self.terminal)
        if sys.platform != "win32":
            _drain(self.terminal)


@final
class Prompter:
    """Reads lines at a terminal, with history and completion."""

    def __init__(
        self,
        name: str,
        offers: Callable[[], Offers],
        history: History,
        questions: Questions,
    ) -> None:
        """Lines come from where the answers to `questions` come from."""
        self._message: Final = f"{name}> "
        self._pasted: Final[deque[str]] = deque()
        self._begun = ""
        """The end of a paste that no line end followed."""
        self._session: Final[PromptSession[str]] = PromptSession(
            history=history,
            completer=OfferCompleter(offers),
            complete_while_typing=False,
            key_bindings=self._taking_pastes(),
            erase_when_done=True,
            interrupt_exception=AbandonedError,
            input=questions.terminal,
            output=questions.output,
        )

    def line(self, listen: Callable[[], bool], show: Callable[[], None]) -> str:
        """The next line: of a paste that was begun, or typed.

        Meanwhile `listen` is asked again and again whether there is something to show.

        Raises:
            AbandonedError: Ctrl-C.
            EOFError: Ctrl-D, or the terminal is gone.
            BenchError: what `listen` raised.
        """
        if self._pasted:
            return self._pasted.popleft()
        begun, self._begun = self._begun, ""

        async def listening() -> None:
            while True:
                try:
                    heard = listen()
                except BenchError as error:
                    get_app().exit(exception=error)
                    return
                if heard:
                    await run_in_terminal(show)
                await asyncio.sleep(LISTEN_EVERY_S)

        def begin() -> None:
            get_app().create_background_task(listening())

        return self._session.prompt(self._message, default=begun, pre_run=begin)

    def forget(self) -> int:
        """Drop what is left of a paste; how many lines that were."""
        dropped = len(self._pasted)
        self._pasted.clear()
        self._begun = ""
        return dropped

    def _taking_pastes(self) -> KeyBindings:
        """A paste of several lines is taken line by line."""
        keys = KeyBindings()

        @keys.add(Keys.BracketedPaste)
        def _(event: KeyPressEvent) -> None:
            text = event.data.replace("\r\n", "\n").replace("\r", "\n")
            first, *rest = text.split("\n")
            event.current_buffer.insert_text(first)
            if rest:
                self._begun = rest.pop()
                self._pasted.extend(rest)
                event.current_buffer.validate_and_handle()

        return keys


def _refusing_pastes() -> KeyBindings:
    keys = KeyBindings()

    @keys.add(Keys.BracketedPaste)
    def _(event: KeyPressEvent) -> None:
        event.app.output.bell()

    return keys


def _drain(terminal: Input) -> None:
    """Read and forget until nothing comes any more: a slow paste takes its time."""
    with terminal.raw_mode():
        while select.select([terminal.fileno()], [], [], SETTLES_S)[0]:
            if not os.read(terminal.fileno(), CHUNK):
                return


@final
class OfferCompleter(Completer):
    """What can be typed, by how it begins."""

    def __init__(self, offers: Callable[[], Offers]) -> None:
        self._offers: Final = offers

    def get_completions(
        self, document: Document, complete_event: CompleteEvent
    ) -> Iterable[Completion]:
        """The lines that go on from what stands before the cursor."""
        del complete_event  # the same lines, however they are asked for
        typed = document.text_before_cursor
        for offer in self._offers().after(typed):
            yield Completion(
                offer.line, start_position=-len(typed), display_meta=offer.about
            )

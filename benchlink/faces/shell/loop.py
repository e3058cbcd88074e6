"""A talk at a terminal, from the greeting to the last line."""

import signal
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import Protocol

from benchlink.core.doors import Person
from benchlink.faces.shell.page import ShellPage
from benchlink.faces.shell.prompter import AbandonedError, Prompter
from benchlink.faces.shell.words import HELP, OwnWord, outcome_lines, own_word
from benchlink.workflows.talk_outcome import Outcome


class Talking(Protocol):
    """A talk with a board, described or not."""

    def line(self, text: str) -> Outcome:
        """Take one typed line."""
        ...

    def listen(self) -> None:
        """Show what the board said unasked."""
        ...

    def stop(self) -> None:
        """Stop whatever moves, or say that nobody knows how."""
        ...

    def abandon(self) -> Outcome:
        """Have the board give up a line that was begun."""
        ...

    def enter(self) -> Outcome:
        """Send a line end alone."""
        ...


class _NotWaitedForError(KeyboardInterrupt):
    """Ctrl-C while an answer is waited for; a closed terminal is another thing."""


def converse(
    talk: Talking, prompter: Prompter, page: ShellPage, person: Person
) -> None:
    """Take line after line until the person leaves; an empty one is nothing.

    Raises:
        LinkError: the port went away, or the board fell silent for good.
    """
    with suppress(EOFError):
        while True:
            try:
                line = _next_line(talk, prompter, page)
                done = _taken(talk, line, person) if line.strip() else True
            except AbandonedError:
                done = False
            if not done:
                _drop_the_rest(prompter, person)


def _taken(talk: Talking, line: str, person: Person) -> bool:
    """Carry out a line; whether all is well with it.

    Raises:
        EOFError: it is the word for leaving.
    """
    try:
        word = own_word(line)
        with _ctrl_c_ends_waiting():
            outcome = _carried_out(talk, line, word, person)
    except ValueError as exc:
        person.tell(str(exc))
        return False
    except _NotWaitedForError:
        person.tell("Not waited for any longer; what still comes is shown.")
        return False
    for text in outcome_lines(outcome) if outcome else ():
        person.tell(text)
    return outcome is None or outcome.answered


def _next_line(talk: Talking, prompter: Prompter, page: ShellPage) -> str:
    def listen() -> bool:
        talk.listen()
        return page.waits

    page.keeps = True
    try:
        return prompter.line(listen, page.show)
    finally:
        page.keeps = False
        page.show()


def _carried_out(
    talk: Talking, line: str, word: OwnWord | None, person: Person
) -> Outcome | None:
    """What came of a line; None where it is nothing that is answered."""
    match word:
        case None:
            return talk.line(line)
        case OwnWord.ABANDON:
            return talk.abandon()
        case OwnWord.ENTER:
            return talk.enter()
        case OwnWord.STOP:
            talk.stop()
        case OwnWord.HELP:
            for text in HELP:
                person.tell(text)
        case OwnWord.LEAVE:
            raise EOFError
    return None


def _drop_the_rest(prompter: Prompter, person: Person) -> None:
    """Whoever pasted did not mean the lines after one that was not done."""
    dropped = prompter.forget()
    if dropped:
        lines = "line" if dropped == 1 else "lines"
        person.tell(f"{dropped} more {lines} of the paste: dropped.")


@contextmanager
def _ctrl_c_ends_waiting() -> Iterator[None]:
    """Give Ctrl-C a meaning of its own: the board and the talk go on."""

    def interrupt(_number: int, _frame: object) -> None:
        raise _NotWaitedForError

    before = signal.signal(signal.SIGINT, interrupt)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)

"""What a person sees of the bytes that a board says, while lines are typed to it."""

from typing import Final, final

from benchlink.console.description import Manner
from benchlink.console.framing import Framing, first_match
from benchlink.console.terminal import Terminal

UNKNOWN: Final = Manner()
"""Of a board whose console nobody has described: all that it says is shown."""


@final
class Overheard:
    """Bytes to lines; prompts, echoes and bare signs of life are left out."""

    def __init__(self, manner: Manner = UNKNOWN) -> None:
        self._framing: Final = Framing(manner)
        self._described: Final = manner is not UNKNOWN
        self._terminal: Final = Terminal(
            cr_ends=manner.board_ends_with_cr, charset=manner.charset
        )
        self._bare: Final = tuple(t for t in manner.chatter if not t.fields)
        self._echo: str | None = None
        self._shown = ""
        """What was shown of the unfinished line."""

    def sent(self, line: str) -> None:
        """A line leaves: its echo will tell nothing new."""
        self._echo = line

    def feed(self, data: bytes) -> tuple[str, ...]:
        """The finished lines worth showing, spelled safely for any screen."""
        texts = [line.text for line in self._terminal.feed(data)]
        if texts and texts[0] == self._shown:
            del texts[0]
        if texts:
            self._shown = ""
        return tuple(text for text in texts if not self._says_nothing(text))

    def rest(self) -> tuple[str, ...]:
        """The unfinished line, once, where it is no prompt: a question perhaps."""
        partial = self._terminal.partial
        if not partial.strip() or partial == self._shown:
            return ()
        if self._framing.is_prompt(partial) or self._framing.is_pager(partial):
            return ()
        self._shown = partial
        return (partial,)

    def forget(self) -> None:
        """What came was not meant for the person."""
        self._terminal.forget()
        self._echo, self._shown = None, ""

    def _says_nothing(self, text: str) -> bool:
        framing = self._framing
        if not self._described:
            return False
        if first_match(self._bare, text) is not None:
            return True
        behind = framing.echo_of(text)
        # The prompt before it may have come while nobody listened.
        if self._echo is not None and self._echo in {behind, text}:
            self._echo = None
            return True
        prompt = framing.prompts and behind == ""
        return prompt or framing.is_pager(text) or not text.strip()

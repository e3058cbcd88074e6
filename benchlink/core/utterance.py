"""What is said to a board for one purpose, in one line or several, and its reply."""

from dataclasses import dataclass, replace

from benchlink.core.confirmation import HandsClear
from benchlink.core.exchange import ACTED, Answer, Command, Ending, Verdict
from benchlink.errors import BoardError, RefusedError, UnansweredError

WORST_FIRST = (
    Verdict.ENDLESS,
    Verdict.UNANSWERED,
    Verdict.DAMAGED,
    Verdict.REFUSED,
    Verdict.AGAIN,
    Verdict.NOTED,
)
"""A reply of several answers is as good as the worst of them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Utterance:
    """Lines that belong together, and the state of the console that they need."""

    commands: tuple[Command, ...]
    mode: str = ""
    bank: str = ""
    home: str = ""
    """The bank that was selected before, to go back to."""
    names: tuple[str, ...] = ()
    """The settings that it writes or reads."""
    ordered: bool = False
    """Whether each line means something only after the one before was taken."""
    way_out: tuple[Command, ...] = ()
    """What gets the console out of it again when a line in the middle failed."""

    def with_hands(self, hands: HandsClear | None) -> "Utterance":
        """The same, with what was confirmed about hands for whatever of it may move."""
        commands = (replace(c, hands=hands) if c.hazards else c for c in self.commands)
        return replace(self, commands=tuple(commands))

    @property
    def stepwise(self) -> bool:
        """Whether a step must not be sent before the one before it succeeded."""
        return self.ordered or any(command.key for command in self.commands)

    @property
    def shows(self) -> bool:
        """Whether the console shows that it is in the middle of it."""
        return any(command.form.ends is Ending.SHOWS for command in self.commands)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """The answers to one utterance; fewer than its commands when one went wrong."""

    utterance: Utterance
    answers: tuple[Answer, ...]

    @property
    def verdict(self) -> Verdict:
        """The worst of its answers."""
        verdicts = {answer.verdict for answer in self.answers}
        return next((v for v in WORST_FIRST if v in verdicts), Verdict.OK)

    @property
    def remark(self) -> str:
        """The board's words, or ours, with the worst answer."""
        worst = self.verdict
        return next((a.remark for a in self.answers if a.verdict is worst), "")

    @property
    def trusted(self) -> bool:
        """Whether every answer is proven to belong to its command."""
        return all(answer.trusted for answer in self.answers)

    @property
    def left_open(self) -> bool:
        """Whether the console may still be in the middle of it, and has to be led out."""
        last = self.answers[-1] if self.answers else None
        if last is None or last.verdict in ACTED:
            return False
        if len(self.answers) == 1 and last.trusted:
            return False  # it was not even opened
        if self.utterance.shows:
            # Whatever could not be trusted has been led out while it woke.
            return last.trusted and last.command.form.ends is Ending.SHOWS
        return True

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines of all answers."""
        return tuple(line for answer in self.answers for line in answer.lines)

    @property
    def raw(self) -> bytes:
        """The same lines byte for byte."""
        return b"".join(answer.raw for answer in self.answers)

    @property
    def said(self) -> str:
        """What was sent, for a message."""
        return " / ".join(command.line for command in self.utterance.commands)


def require_an_end(reply: Reply) -> Reply:
    """Pass a reply that came to an end, whatever it says.

    Raises:
        BoardError: more came than any answer holds.
    """
    if reply.verdict is Verdict.ENDLESS:
        raise endless(reply.said, reply.remark)
    return reply


def endless(said: str, remark: str) -> BoardError:
    """What to say of a board whose answer has no end."""
    return BoardError(
        f"the board's answer to `{said}` has no end: {remark}",
        hint="What came was thrown away. Does the board repeat itself (power-cycle it),"
        " or does the description miss the line that ends this answer?",
    )


def require_done(reply: Reply) -> Reply:
    """Pass a reply that means success.

    Raises:
        RefusedError: the board said no.
        UnansweredError: nobody knows what the board did.
    """
    verdict = reply.verdict
    if verdict in {Verdict.REFUSED, Verdict.AGAIN}:
        msg = f"the board refused `{reply.said}`: {reply.remark}"
        raise RefusedError(msg, hint="Nothing was changed by that line.")
    if not reply.trusted:
        msg = f"no trustworthy answer to `{reply.said}`: {reply.remark}"
        raise UnansweredError(
            msg, hint="Read the board again before believing anything about it."
        )
    return reply

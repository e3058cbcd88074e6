"""One command to a board and what came back."""

from dataclasses import dataclass
from enum import Enum

from benchlink.errors import RefusedError, UnansweredError
from benchlink.units import Seconds


class Verdict(Enum):
    """How an answer ended; only the first two mean that the board did something."""

    OK = "ok"
    NOTED = "done, but not quite as asked"
    REFUSED = "refused"
    DAMAGED = "answer damaged"
    UNANSWERED = "no answer"


@dataclass(frozen=True, slots=True, kw_only=True)
class Command:
    """One line for the board, rendered once; nothing rewrites it on its way."""

    line: str
    answer_within: Seconds
    """Silence longer than this means that no answer will come."""
    alone: bool = False
    """Nothing else is in flight before or during this command (keep, restart)."""
    changes: bool = False
    """Whether the board may hold something else afterwards: never repeated blindly."""
    restarts: bool = False
    """Whether the board starts afresh after its answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a board said to one command."""

    command: Command
    verdict: Verdict
    lines: tuple[str, ...] = ()
    """Rendered lines between echo and status, without their ends."""
    remark: str = ""
    """The board's words with a note or a refusal; ours where no answer came."""
    raw: bytes = b""
    """The same lines byte for byte."""

    @property
    def trusted(self) -> bool:
        """Whether echo and status prove that this answers exactly this command."""
        return self.verdict not in {Verdict.DAMAGED, Verdict.UNANSWERED}


def require_done(answer: Answer) -> Answer:
    """Pass an answer that means success.

    Raises:
        RefusedError: the board said no.
        UnansweredError: nobody knows what the board did.
    """
    line = answer.command.line
    if answer.verdict is Verdict.REFUSED:
        msg = f"the board refused `{line}`: {answer.remark}"
        raise RefusedError(msg, hint="Nothing was changed by that line.")
    if not answer.trusted:
        msg = f"no trustworthy answer to `{line}`: {answer.remark}"
        raise UnansweredError(
            msg, hint="Read the board again before believing anything about it."
        )
    return answer

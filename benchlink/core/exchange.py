"""One command to a board, how its answer ends, and what came back."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Final, Protocol

from benchlink.core.confirmation import HandsClear
from benchlink.core.gate import Permit
from benchlink.core.hazard import NO_HAZARD, Aim, Hazards
from benchlink.units import Seconds

QUIET: Final = Seconds(0.1)
ANSWER_WITHIN: Final = Seconds(1.0)


class LineForm(Protocol):
    """Recognises a line."""

    def match(self, line: str) -> Mapping[str, str] | None:
        """The fields of a line, or None when it is another one."""
        ...


class Ending(Enum):
    """What ends an answer; where the console has a prompt, that follows."""

    STATUS = "status"
    """One of the status lines."""
    PROMPT = "prompt"
    """The next prompt alone."""
    CLOSING = "closing"
    """A closing line."""
    COUNT = "count"
    """As many lines as a header told."""
    BLOCK = "block"
    """As many bytes as `#<digits><length>` told (IEEE 488.2, definite length)."""
    LINE = "line"
    """The first line."""
    QUIET = "quiet"
    """Silence after it."""
    SHOWS = "shows"
    """An unfinished line that asks for something."""
    NOTHING = "nothing"
    """There is no answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerForm:
    """How to see that an answer is over, and how it went."""

    ends: Ending = Ending.STATUS
    ok: tuple[LineForm, ...] = ()
    noted: tuple[LineForm, ...] = ()
    refused: tuple[LineForm, ...] = ()
    again: tuple[LineForm, ...] = ()
    """Not ready: the same line may be sent again."""
    failed: tuple[LineForm, ...] = ()
    """Lines of the answer that tell of a failure, whatever status follows."""
    at_least: int = 0
    """Lines that come before a word of success can."""
    marks: tuple[LineForm, ...] = ()
    """The closing line, the header with `{count}`, or the question it shows."""
    quiet: Seconds = QUIET
    within: Seconds = ANSWER_WITHIN
    """Silence longer than this means that no answer will come."""
    needs_word: bool = True
    """Whether only a word of success is success; else the absence of a refusal is."""


class Verdict(Enum):
    """How an answer ended; only the first two mean that the board did something."""

    OK = "ok"
    NOTED = "done, but not quite as asked"
    REFUSED = "refused"
    AGAIN = "not ready"
    DAMAGED = "answer damaged"
    ENDLESS = "answer without an end"
    """More came than any answer holds; it was thrown away."""
    UNANSWERED = "no answer"


UNPROVEN: Final = frozenset({Verdict.DAMAGED, Verdict.ENDLESS, Verdict.UNANSWERED})
"""Nobody knows whether what came answers the command."""

ACTED: Final = frozenset({Verdict.OK, Verdict.NOTED})
"""The only verdicts after which the board did what it was told."""

DEFAULT_FORM: Final = AnswerForm()


@dataclass(frozen=True, slots=True, kw_only=True)
class Command:
    """One line for the board, rendered once; nothing rewrites it on its way."""

    line: str
    answer_within: Seconds
    """Silence longer than this means that no answer will come."""
    form: AnswerForm = DEFAULT_FORM
    key: bool = False
    """Sent as it is, without a line end, to answer a question."""
    alone: bool = False
    """Nothing else is in flight before or during this command (keep, restart)."""
    changes: bool = False
    """Whether the board may hold something else afterwards: never repeated blindly."""
    restarts: bool = False
    """Whether the board starts afresh after its answer."""
    hazards: Hazards = NO_HAZARD
    """What it may do by what is written: the settings, not the words of the line."""
    aim: Aim | None = None
    """The settings that it is meant to write."""
    permit: Permit | None = None
    """What lets it move something by itself."""
    hands: HandsClear | None = None
    """What lets it write settings that may move something."""


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
        return self.verdict not in UNPROVEN

"""Which command each line answers: the echo is the only proof a plain console gives.

An answer begins with a prompt and the exact echo of the oldest unanswered command,
and ends with its status line and the next prompt. Whatever does not fit makes the
answer doubtful; a doubtful answer is reported as such, never mended.
"""

from collections import deque
from dataclasses import dataclass, field
from typing import Final, final

from benchlink.console.framing import Framing, Status
from benchlink.console.lanes import Pending
from benchlink.console.terminal import Line
from benchlink.core.exchange import Answer, Verdict
from benchlink.errors import MisuseError


@dataclass(frozen=True, slots=True)
class Settled:
    """A command and its answer."""

    pending: Pending
    answer: Answer


@dataclass(slots=True)
class _Open:
    """The answer being received."""

    pending: Pending
    lines: list[str] = field(default_factory=list)
    raw: bytearray = field(default_factory=bytearray)
    status: Status | None = None
    doubt: str = ""


@final
class Correlation:
    """Takes lines in order, gives answers in the order of the commands."""

    def __init__(self, framing: Framing) -> None:
        self._framing: Final = framing
        self._waiting: Final[deque[Pending]] = deque()
        self._open: _Open | None = None
        self.heard: Final[deque[str]] = deque(maxlen=200)
        """Lines that answer nothing: log lines, boot chatter, noise."""
        self.steps = 0
        """Rises with every line that brings an answer forward; chatter never does."""

    @property
    def in_flight(self) -> tuple[Pending, ...]:
        """Commands sent and not answered, oldest first."""
        opened = (self._open.pending,) if self._open else ()
        return (*opened, *self._waiting)

    @property
    def receiving(self) -> bool:
        """Whether an answer has begun and not ended."""
        return self._open is not None

    def sent(self, pending: Pending) -> None:
        """A command has left."""
        self._waiting.append(pending)

    def line(self, line: Line) -> list[Settled]:
        """Take one finished line."""
        echo = self._framing.echo_of(line.text)
        if echo is not None:
            return self._echoed(echo, line.text)
        opened = self._open
        if opened is None or opened.status is not None:
            self.heard.append(line.text)
            return []
        self.steps += 1
        if line.overdrawn:
            # A lost line feed looks like this: one line drawn over another.
            opened.doubt = opened.doubt or f"something stood under {line.text!r}"
        opened.status = self._framing.status_of(line.text)
        if opened.status is None:
            opened.lines.append(line.text)
            opened.raw += line.raw
        return []

    def prompt(self, *, stands_still: bool) -> list[Settled]:
        """The unfinished line is a prompt; without a status that proves nothing yet."""
        if self._open and (self._open.status or stands_still):
            return [self._close()]
        return []

    def give_up(self, why: str) -> list[Settled]:
        """Nothing more will come: everything in flight goes unanswered."""
        settled = [
            Settled(
                pending,
                Answer(command=pending.command, verdict=Verdict.UNANSWERED, remark=why),
            )
            for pending in self.in_flight
        ]
        self._open = None
        self._waiting.clear()
        return settled

    def _echoed(self, echo: str, text: str) -> list[Settled]:
        settled = [self._close()] if self._open else []
        if not echo:
            return settled
        if not self._waiting:
            self.heard.append(text)
            return settled
        self.steps += 1
        lines = [pending.command.line for pending in self._waiting]
        skipped = lines.index(echo) if echo in lines else 0
        for _ in range(skipped):
            lost = self._waiting.popleft()
            settled.append(_unproven(lost, "the board never echoed it"))
        self._open = _Open(self._waiting.popleft())
        if echo != self._open.pending.command.line:
            self._open.doubt = f"the board echoed {echo!r}"
        return settled

    def _close(self) -> Settled:
        opened, self._open = self._open, None
        if opened is None:
            msg = "no answer is open"
            raise MisuseError(msg)
        if opened.doubt or opened.status is None:
            verdict = Verdict.DAMAGED
            remark = opened.doubt or "it ended without a status"
        else:
            verdict, remark = opened.status.verdict, opened.status.remark
        answer = Answer(
            command=opened.pending.command,
            verdict=verdict,
            lines=tuple(opened.lines),
            remark=remark,
            raw=bytes(opened.raw),
        )
        return Settled(opened.pending, answer)


def _unproven(pending: Pending, why: str) -> Settled:
    answer = Answer(command=pending.command, verdict=Verdict.UNANSWERED, remark=why)
    return Settled(pending, answer)

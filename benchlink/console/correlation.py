"""Which command each line answers: the echo is the only proof a plain console gives.

An answer begins with the exact echo of the oldest unanswered command, where the console
echoes, and ends as the command's form says; where the console prompts, the prompt comes
after it. Whatever does not fit makes the answer doubtful; a doubtful answer is reported
as such, never mended. Without an echo only the order tells, so only one command at a
time is ever in flight there.
"""

from collections import deque
from dataclasses import dataclass, replace
from typing import Final, final

from benchlink.console.description import Echo
from benchlink.console.framing import Framing
from benchlink.console.lanes import Pending
from benchlink.console.receiving import Receiving
from benchlink.console.terminal import Line
from benchlink.core.exchange import Answer, Ending, Verdict
from benchlink.errors import MisuseError

LINE_ENDS: Final = b"\r\n"


@dataclass(frozen=True, slots=True)
class Settled:
    """A command and its answer."""

    pending: Pending
    answer: Answer


@final
class Correlation:
    """Takes lines in order, gives answers in the order of the commands."""

    def __init__(self, framing: Framing) -> None:
        self._framing: Final = framing
        self._waiting: Final[deque[Pending]] = deque()
        self._open: Receiving | None = None
        self._folded = ""
        self._blank_due = False
        """Whether an echo that filled its line, or a pager, leaves an empty one."""
        self._question = ""
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
    def oldest(self) -> Pending | None:
        """The one of them that was sent first."""
        if self._open is not None:
            return self._open.pending
        return self._waiting[0] if self._waiting else None

    @property
    def receiving(self) -> Receiving | None:
        """The answer that has begun and not ended."""
        return self._open

    def sent(self, pending: Pending) -> list[Settled]:
        """A command has left; without an echo its answer begins at once."""
        self._waiting.append(pending)
        if (self._framing.echoes and not pending.command.key) or self._open:
            return []
        self._open = Receiving(self._waiting.popleft())
        return self._close_if_over()

    def line(self, line: Line) -> list[Settled]:
        """Take one finished line."""
        self.drawn_over(line.under)
        due, self._blank_due = self._blank_due, False
        if due and not line.raw.strip(LINE_ENDS):
            return []
        if self._framing.is_pager(line.text) or self._repeats_question(line.text):
            self.steps += 1
            return []
        if self._framing.is_chatter(line.text):
            self.heard.append(line.text)
            self._left_prompt()
            return []
        settled = self._as_echo(line.text)
        if settled is None:
            settled = self._behind_prompt(line)
        if settled is not None:
            return settled
        opened = self._open
        if opened is None or not self._is_of(opened):
            self.heard.append(line.text)
            return []
        self.steps += 1
        opened.take(line)
        return self._close_if_over()

    def drawn_over(self, under: str) -> None:
        """What was redrawn is a prompt; anything else is a line that lost its end."""
        opened, framing = self._open, self._framing
        if opened is None or opened.over or not under.strip():
            return
        ours = framing.is_pager(under) or framing.is_chatter(under)
        if framing.prompts and framing.echo_of(under) is None and not ours:
            why = f"{under!r} was drawn over"
            if framing.sharing(under):
                why = (
                    f"the prompt stood behind words: {under!r} (`prompt-after-text:`?)"
                )
            opened.doubt = opened.doubt or why

    def unfinished(self, partial: str, *, stands_still: bool) -> list[Settled]:
        """Look at the unfinished line: a prompt or a question may end the answer."""
        opened = self._open
        if opened is None:
            return []
        if opened.shows(partial):
            self._question = partial
            opened.over = True
            return self._close()
        if not self._framing.is_prompt(partial):
            return []
        by_prompt = opened.pending.command.form.ends is Ending.PROMPT
        # With an echo, a prompt taken too early shows at once: the next line is none.
        certain = opened.over or opened.status or (by_prompt and self._framing.echoes)
        return self._close() if certain or stands_still else []

    def fell_quiet(self) -> list[Settled]:
        """Silence after an answer that ends with silence."""
        opened = self._open
        if opened and opened.pending.command.form.ends is Ending.QUIET:
            return self._close()
        return []

    def restarted(self) -> list[Settled]:
        """The board came up: that ends the answer to the restart it was told."""
        opened = self._open
        return self._close() if opened and opened.pending.command.restarts else []

    @property
    def restarting(self) -> bool:
        """Whether a restart was told and not answered."""
        opened = self._open
        if opened is not None and opened.pending.command.restarts:
            return True
        return bool(self._waiting) and any(p.command.restarts for p in self._waiting)

    def paged(self) -> None:
        """A pager was answered, and its line forgotten but for its end."""
        self._blank_due = True

    def give_up(self, why: str) -> list[Settled]:
        """Nothing more will come: everything in flight goes unanswered."""
        settled = [_unproven(pending, why) for pending in self.in_flight]
        self._open = None
        self._waiting.clear()
        self._folded = self._question = ""
        return settled

    def _left_prompt(self) -> None:
        """Chatter ends the line of the prompt that stood there: no line of an answer."""
        opened, framing = self._open, self._framing
        if opened and framing.prompts and not framing.echoes and not opened.begun:
            opened.lines.clear()
            opened.raw.clear()

    def _is_of(self, opened: Receiving) -> bool:
        """Whether a line may still be part of the open answer."""
        said = opened.over or (opened.status is not None and self._framing.prompts)
        return opened.wants_reason or not said

    def _repeats_question(self, text: str) -> bool:
        """The line of a question, with the key that answered it."""
        question, opened = self._question, self._open
        if not question or opened is None or not opened.pending.command.key:
            return False
        return text in {question, question + opened.pending.command.line}

    def _echo_of(self, text: str) -> str | None:
        """What was typed behind the prompt, or behind what asked for more."""
        question, waiting = self._question, self._waiting
        if question and waiting and not waiting[0].command.key:
            if text.startswith(question):
                return text.removeprefix(question)
            if text == question.rstrip(" "):
                return ""
        return self._framing.echo_of(text)

    def asks(self, partial: str) -> bool:
        """Whether the unfinished line is what the last answer asked for more with."""
        return bool(self._question) and partial == self._question

    def _as_echo(self, text: str) -> list[Settled] | None:
        """What an echo line settles, or None when the line is none."""
        framing = self._framing
        if framing.manner.echo is Echo.FOLDED:
            return self._as_folded(text)
        echo = self._echo_of(text) if framing.echoes or framing.prompts else None
        if echo is None:
            return None
        known = [p.command.line for p in self._waiting if not p.command.key]
        if echo in known and framing.echoes:
            return self._echoed(known.index(echo), "")
        if not framing.prompts or (echo and not framing.echoes):
            return None
        if echo and known:
            return self._echoed(0, f"the board echoed {echo!r}")
        if echo:
            self.heard.append(text)
        return self._close() if self._open else []

    def _behind_prompt(self, line: Line) -> list[Settled] | None:
        """Without an echo an answer may begin behind a prompt that was said again."""
        framing = self._framing
        if framing.echoes or not framing.prompts:
            return None
        behind = framing.behind_prompts(line.text)
        if behind is None:
            return None
        settled: list[Settled] = []
        if self._open is not None and (self._open.begun or not behind):
            settled = self._close()
        if not behind:
            return settled
        if self._open is None:
            self.heard.append(line.text)
            return settled
        self.steps += 1
        at = line.raw.rfind(framing.manner.charset.said(behind))
        raw = line.raw[max(0, at) :]
        self._open.take(replace(line, text=behind, raw=raw))
        return [*settled, *self._close_if_over()]

    def _after_answer(self, text: str) -> list[Settled] | None:
        """What an open answer, whose console folds its echoes, makes of a line."""
        framing = self._framing
        if not framing.prompts:
            return (
                [] if self._waiting and text == self._waiting[0].command.line else None
            )
        behind = framing.echo_of(text)
        if behind is None:
            return None
        if behind and not self._waiting:
            self.heard.append(text)
        return [] if self._waiting and behind else self._close()

    def _as_folded(self, text: str) -> list[Settled] | None:
        """Pieces of an echo that was broken into lines, put together again."""
        if self._open is not None and not self._folded:
            settled = self._after_answer(text)
            if settled is None or not self._waiting:
                return settled
        if not self._waiting:
            return None
        whole = self._folded + text
        echo = self._echo_of(whole)
        sent = self._waiting[0].command.line
        if echo == sent:
            self._folded = ""
            folds_at = self._framing.manner.folds_at
            self._blank_due = bool(folds_at and len(whole) % folds_at == 0)
            return self._echoed(0, "")
        if echo and sent.startswith(echo):
            self._folded = whole
            self.steps += 1
            return []
        self._folded = ""
        return [] if echo == "" else None

    def _echoed(self, skipped: int, doubt: str) -> list[Settled]:
        settled = self._close() if self._open else []
        self.steps += 1
        self._question = ""
        for _ in range(skipped):
            lost = self._waiting.popleft()
            settled.append(_unproven(lost, "the board never echoed it"))
        self._open = Receiving(self._waiting.popleft(), doubt=doubt)
        return [*settled, *self._close_if_over()]

    def _close_if_over(self) -> list[Settled]:
        """An answer that is over waits for the prompt only where there are prompts.

        One that has no end waits for nothing.
        """
        opened = self._open
        if opened is None:
            return []
        if opened.pending.command.form.ends is Ending.NOTHING:
            opened.over = True
        over = opened.over and not self._framing.prompts
        return self._close() if over or opened.endless else []

    def _close(self) -> list[Settled]:
        """End the open answer; without an echo the next one begins with that."""
        opened, self._open = self._open, None
        if opened is None:
            msg = "no answer is open"
            raise MisuseError(msg)
        settled = [Settled(opened.pending, opened.finish())]
        if self._waiting and not self._framing.echoes:
            self._open = Receiving(self._waiting.popleft())
            settled += self._close_if_over()
        return settled


def _unproven(pending: Pending, why: str) -> Settled:
    answer = Answer(command=pending.command, verdict=Verdict.UNANSWERED, remark=why)
    return Settled(pending, answer)

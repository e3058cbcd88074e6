"""The answer that is being received: which lines are its own, and when it is over."""

from dataclasses import dataclass, field
from typing import Final

from benchlink.console.framing import Status, first_match, status_of
from benchlink.console.lanes import Pending
from benchlink.console.terminal import Line
from benchlink.core.exchange import Answer, Ending, Verdict

MOST_BYTES: Final = 4 * 1024 * 1024
"""What one answer may hold: thirteen times the listing of 5,000 settings, and six minutes
at 115,200 baud. A board that repeats itself for ever must not fill the memory."""
MOST_LINES: Final = 65_536
"""The same in lines: each costs more than its bytes."""
SHOWN: Final = 60
"""Characters of the last line that tell what was repeated."""

BLOCK_MARK: Final = b"#"
MOST_DIGITS: Final = 9
"""Digits of a count that are worth reading: more lines than that never come."""
BOUNDED: Final = frozenset({Ending.CLOSING, Ending.COUNT, Ending.BLOCK, Ending.SHOWS})
"""Endings that an answer has to reach."""
WORDED: Final = frozenset({Ending.STATUS, Ending.SHOWS, Ending.NOTHING})
"""Endings by which no word of success can be missing."""
LASTING: Final = frozenset({Ending.PROMPT, Ending.CLOSING, Ending.COUNT, Ending.QUIET})
"""Endings that come after a status as well."""
NO: Final = frozenset({Verdict.REFUSED, Verdict.AGAIN})


@dataclass(slots=True)
class Receiving:
    """Fed with the lines of one answer, by the form that its command names."""

    pending: Pending
    lines: list[str] = field(default_factory=list)
    raw: bytearray = field(default_factory=bytearray)
    status: Status | None = None
    failure: str = ""
    """What the board said of a failure before its status."""
    doubt: str = ""
    over: bool = False
    """Nothing but the prompt can follow."""
    endless: str = ""
    """Why nobody waits for the end of it any more."""
    _left: int | None = None
    """Lines or bytes still to come, once a header told."""

    def take(self, line: Line) -> None:
        """One more line of this answer."""
        self._take(line)
        if len(self.raw) > MOST_BYTES or len(self.lines) > MOST_LINES:
            self.endless = (
                f"more than {MOST_BYTES >> 20} MiB or {MOST_LINES:,} lines came and no end"
                f" of it, {line.text[:SHOWN]!r} the last of them"
            )
            self.lines.clear()
            self.raw.clear()

    def _take(self, line: Line) -> None:
        form = self.pending.command.form
        if form.ends is Ending.BLOCK:
            self._take_block(line)
            return
        if line.overdrawn:
            # A lost line feed looks like this: one line drawn over another.
            self.doubt = self.doubt or f"something stood under {line.text!r}"
        failed = first_match(form.failed, line.text)
        if failed is not None:
            self.failure = self.failure or failed.get("remark", line.text)
        if self.wants_reason and line.text.strip():
            self._take_reason(line.text.strip())
            self._count_off()
            return
        status = self._status_in(line.text)
        if status is None:
            self._take_body(line, form.ends)
            return
        self.status = status
        self.over = form.ends not in LASTING or (
            form.ends is Ending.COUNT and self._left is None
        )
        self._count_off()

    def shows(self, partial: str) -> bool:
        """Whether the unfinished line is the question that ends this answer."""
        form = self.pending.command.form
        return (
            form.ends is Ending.SHOWS and first_match(form.marks, partial) is not None
        )

    def finish(self) -> Answer:
        """The answer as it stands."""
        command = self.pending.command
        verdict, remark = self._outcome()
        return Answer(
            command=command,
            verdict=verdict,
            lines=tuple(self.lines),
            remark=remark,
            raw=bytes(self.raw),
        )

    @property
    def begun(self) -> bool:
        """Whether anything has come that is no empty line."""
        return self.status is not None or any(map(str.strip, self.lines))

    @property
    def wants_reason(self) -> bool:
        """Whether it was refused in so many words that the reason has to follow."""
        return (
            self.status is not None
            and self.status.verdict is Verdict.REFUSED
            and not self.status.remark
        )

    def _take_reason(self, text: str) -> None:
        self.status = Status(Verdict.REFUSED, text)

    def _status_in(self, text: str) -> Status | None:
        """How it went, where the line can tell."""
        command = self.pending.command
        status = status_of(command.form, text)
        if status is None or status.verdict in NO:
            return status if not self._inside_count or self._just_begun else None
        if self._inside_count and not (command.changes and self._just_begun):
            return None
        return status if len(self.lines) >= command.form.at_least else None

    @property
    def _just_begun(self) -> bool:
        """Whether nothing but a header has come."""
        return len(self.lines) <= 1

    def _count_off(self) -> None:
        """One of the counted lines has come."""
        if self._inside_count and self._left is not None:
            self._left -= 1
            self.over = self._left == 0

    @property
    def _inside_count(self) -> bool:
        return self._left is not None and self._left > 0

    def _outcome(self) -> tuple[Verdict, str]:
        if self.endless:
            return Verdict.ENDLESS, self.endless
        why = self.doubt or self._unfinished
        if why:
            return Verdict.DAMAGED, why
        if self.failure:
            return Verdict.REFUSED, self.failure
        if self.status is not None:
            return self.status.verdict, self.status.remark
        form = self.pending.command.form
        if form.ok and form.needs_word and form.ends not in WORDED:
            return self._without_word()
        return Verdict.OK, ""

    @property
    def _unfinished(self) -> str:
        """What is missing from an answer that has ended."""
        form = self.pending.command.form
        if self.status is not None:
            return ""
        if form.ends is Ending.STATUS and form.needs_word:
            return "it ended without a status"
        if self._inside_count or (form.ends in BOUNDED and not self.over):
            return "it ended before all of it had come"
        return ""

    def _without_word(self) -> tuple[Verdict, str]:
        """A word of success was due; a listing that ends otherwise needs none."""
        if self.pending.command.changes and self.lines:
            return Verdict.REFUSED, " / ".join(self.lines)
        if self.pending.command.changes:
            return Verdict.DAMAGED, "it ended without a word of success"
        return Verdict.OK, ""

    def _take_body(self, line: Line, ends: Ending) -> None:
        form = self.pending.command.form
        fields = first_match(form.marks, line.text)
        if ends is Ending.COUNT and self._left is None and fields is not None:
            self._left = _counted(fields["count"])
            self.over = self._left == 0
        elif self._inside_count:
            self._count_off()
        elif ends is Ending.CLOSING and fields is not None:
            self.over = True
        elif ends is Ending.LINE:
            self.over = bool(line.text.strip())
        if line.text.strip() or ends is not Ending.LINE:
            self.lines.append(line.text)
            self.raw += line.raw

    def _take_block(self, line: Line) -> None:
        """`#`, one digit, so many digits of a length, and so many bytes."""
        raw = line.raw
        if self._left is None:
            self._begin_block(line)
            return
        self._left -= len(raw)
        self._end_block(line, raw)

    def _begin_block(self, line: Line) -> None:
        raw = line.raw
        head = raw[1:2]
        digits = int(head) if head.isdigit() else 0
        length = raw[2 : 2 + digits]
        if not raw.startswith(BLOCK_MARK) or not digits or not length.isdigit():
            self.status = status_of(self.pending.command.form, line.text)
            self.doubt = "" if self.status else f"no block begins with {line.text!r}"
            self.over = True
            return
        body = raw[2 + digits :]
        self._left = int(length) - len(body)
        self._end_block(line, body)

    def _end_block(self, line: Line, raw: bytes) -> None:
        left = self._left or 0
        whole = raw if left >= 0 else raw[: len(raw) + left]
        text = line.charset.text(whole.rstrip(b"\r\n"))
        if text:
            self.lines.append(text)
        self.raw += raw
        self.over = left <= 0


def _counted(digits: str) -> int:
    counted = digits.lstrip("0")
    if len(counted) > MOST_DIGITS:
        return 10**MOST_DIGITS
    return int(counted or "0")

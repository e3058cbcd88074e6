"""The lines of one answer, each with everything that could take it."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum
from typing import Final, final

from benchlink.console.cells import Layout
from benchlink.console.description import Description, Source
from benchlink.console.forms import Form, Heading, forms_for, is_heads
from benchlink.console.takers import (
    Question,
    Taker,
    of_form,
    of_template,
    shown_marks,
    status_forms,
)
from benchlink.console.template import Template
from benchlink.core.exchange import Ending

BLOCK_HEAD: Final = re.compile(r"#([1-9])(\d+)")


class Role(Enum):
    """What a line is."""

    PROMPT = "prompt"
    SENT = "sent"
    TYPED = "sent by nothing here"
    PAGER = "pager"
    BANNER = "banner"
    STARTING = "said while it started"
    REPLIED = "asked while opening"
    CHATTER = "chatter"
    STATUS = "status"
    ASKS = "asks for a key"
    FURNITURE = "furniture"
    SETTINGS = "settings"
    ANSWER = "answer"
    BLANK = "blank"
    STRANGE = "not understood"


BODY: Final = frozenset(
    {Role.FURNITURE, Role.SETTINGS, Role.ANSWER, Role.BLANK, Role.STRANGE}
)
"""Roles of lines that are part of an answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """What took a line, and what else could have."""

    role: Role
    took: tuple[Taker, ...] = ()
    others: tuple[Taker, ...] = ()
    names: tuple[str, ...] = ()
    """The settings in it."""

    @property
    def looseness(self) -> float:
        """Of the loosest template that took some of it."""
        return max((taker.looseness for taker in self.took), default=0.0)

    @property
    def rivals(self) -> tuple[Taker, ...]:
        """What else could take it, and is no more general than what does."""
        return tuple(
            other
            for other in self.others
            if not all(taker.settles(other) for taker in self.took)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """An answer read as the answer to one question."""

    question: Question
    taken: tuple[Taken, ...]
    asked: str = ""

    @property
    def cost(self) -> float:
        """How badly the question fits: lines not taken, and lines taken by anything."""
        return sum(
            1.0 if taken.role is Role.STRANGE else taken.looseness
            for taken in self.taken
        )


def read_answer(
    description: Description, question: Question, lines: Sequence[str], asked: str = ""
) -> Reading:
    """Read lines as the answer to a question."""
    reader = AnswerReader(description, question, asked)
    taken = tuple(reader.take(line) for line in lines)
    return Reading(question=question, taken=taken, asked=asked)


@dataclass(frozen=True, slots=True)
class _Could:
    role: Role
    taker: Taker
    names: tuple[str, ...] = field(default=())


@final
class AnswerReader:
    """Takes the lines of one answer in their order."""

    def __init__(
        self, description: Description, question: Question, asked: str = ""
    ) -> None:
        self._chatter: Final = description.manner.chatter
        self._spelling: Final = description.spelling
        self._question: Final = question
        self._layout: Final = Layout(asked=asked)
        self._first = True

    def take(self, line: str) -> Taken:
        """Everything that could take the next line, what does take it first."""
        chatter = [
            _Could(Role.CHATTER, of_template("chatter", form))
            for form in self._chatter
            if form.match(line) is not None
        ]
        if not line.strip() and self._layout.open_block is None:
            return Taken(role=Role.BLANK)
        if self._first and not chatter:
            self._first = False
            line = self._past_block_head(line)
        framing = [*chatter, *self._status(line)]
        return self._settled(framing or list(self._failure(line)), line)

    def _settled(self, framing: list[_Could], line: str) -> Taken:
        pieces = [line]
        if self._question.split and not framing:
            cut = self._spelling.pieces(line, self._question.split)
            pieces = [piece for piece in cut if piece.strip()]
        found = [self._piece(framing, piece) for piece in pieces]
        if not all(found):
            return Taken(role=Role.STRANGE)
        took = tuple(dict.fromkeys(could[0].taker for could in found))
        others = dict.fromkeys(c.taker for could in found for c in could[1:])
        return Taken(
            role=found[0][0].role if found else Role.BLANK,
            took=took,
            others=tuple(taker for taker in others if taker not in took),
            names=tuple(name for could in found for name in could[0].names),
        )

    def _piece(self, framing: list[_Could], piece: str) -> list[_Could]:
        found = list(framing)
        source = self._question.source
        if source is None:
            part = f"gives of {self._question.label}"
            found += [
                _Could(Role.ANSWER, of_template(part, form))
                for form in self._question.gives
                if form.match(piece) is not None
            ]
            return found or list(self._marks(piece))
        if self._layout.open_block is not None and not found:
            return [self._inside(piece)]
        found += self._furniture(source, piece)
        if not found:
            found += self._marks(piece)
        for form in forms_for(source.forms, piece):
            # Only what takes the line may change what the next line means.
            layout = self._layout if not found else _copy(self._layout)
            cells = form.take(piece, layout)
            if cells is not None:
                names = tuple(cell.name for cell in cells)
                found.append(_Could(_role_of(form, piece), of_form(form), names))
        return found

    def _marks(self, line: str) -> Iterator[_Could]:
        """A header or a closing line, where nothing else has to know it."""
        for form in self._question.forms:
            for mark in form.marks:
                if mark.match(line) is not None:
                    yield _Could(Role.FURNITURE, of_template(form.ends.value, mark))

    def _inside(self, line: str) -> _Could:
        """A line between the marks of a value of several lines."""
        block = self._layout.open_block
        if block is None:
            return _Could(Role.STRANGE, Taker(part="block", text=""))
        cells = block.go_on(line, self._layout)
        return _Could(Role.SETTINGS, of_form(block), tuple(cell.name for cell in cells))

    def _status(self, line: str) -> Iterator[_Could]:
        """A line that tells how it went, or asks for a key (which may stand behind)."""
        forms = self._question.forms
        for taker, form in status_forms(forms):
            if form.match(line) is not None:
                yield _Could(Role.STATUS, taker)
        for mark in shown_marks(forms):
            if isinstance(mark, Template) and mark.rest_after(line) is not None:
                yield _Could(Role.ASKS, of_template("shows", mark))
                break  # steps that go on show the same

    def _failure(self, line: str) -> Iterator[_Could]:
        """A line that tells of a failure, which nothing else is looked at for."""
        for form in self._question.forms:
            for failed in form.failed:
                if failed.match(line) is not None:
                    yield _Could(Role.STATUS, of_template("failed", failed))

    @staticmethod
    def _furniture(source: Source, line: str) -> Iterator[_Could]:
        shown = source.bank_names.shown if source.bank_names else ()
        for part, forms in (("shown", shown), ("furniture", source.furniture)):
            for form in forms:
                if form.match(line) is not None:
                    yield _Could(Role.FURNITURE, of_template(part, form))

    def _past_block_head(self, line: str) -> str:
        """What follows the length of an IEEE 488.2 block on its first line."""
        if not any(form.ends is Ending.BLOCK for form in self._question.forms):
            return line
        head = BLOCK_HEAD.match(line)
        return line[2 + int(head.group(1)) :] if head else line


def _role_of(form: Form, line: str) -> Role:
    above = isinstance(form, Heading) or is_heads(form, line)
    return Role.FURNITURE if above else Role.SETTINGS


def _copy(layout: Layout) -> Layout:
    return replace(layout, headings=list(layout.headings), block_lines=[])

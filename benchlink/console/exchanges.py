"""A recorded or pasted text cut into exchanges: what was sent, and the lines after it.

Where the console echoes, the echo tells what was sent. Where it does not, an answer is
known by its end; where that does not show either, every line stands for itself.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final, final

from benchlink.console.answer_reading import Role, Taken, read_answer
from benchlink.console.description import Description, Echo
from benchlink.console.framing import Framing, first_match
from benchlink.console.takers import (
    Question,
    Taker,
    of_template,
    status_forms,
)
from benchlink.console.template import Literal
from benchlink.core.exchange import Ending, LineForm

PIECES: Final = 4
"""Lines into which a folded echo may be broken."""


@dataclass(slots=True)
class Exchange:
    """Lines that follow what was sent."""

    questions: tuple[Question, ...] | None
    """What may have been sent; None where nobody knows, empty where nothing here."""
    sent: str = ""
    starting: bool = False
    lines: list[int] = field(default_factory=list)
    """Their indexes in the text."""


@final
class Cutting:
    """Goes through a text once, from line to line."""

    def __init__(
        self,
        description: Description,
        questions: tuple[Question, ...],
        texts: Sequence[str],
    ) -> None:
        self.framed: Final[dict[int, Taken]] = {}
        """Lines that belong to no answer, by their indexes."""
        self.exchanges: Final[list[Exchange]] = [Exchange(None)]
        self._questions: Final = questions
        self._description: Final = description
        self._manner: Final = description.manner
        self._framing: Final = Framing(description.manner)
        self._texts: Final = texts
        self._ends: Final = _endings(self._questions)
        self._closed = True
        for index in range(len(texts)):
            if index not in self.framed:
                self._take(index)

    @property
    def delimited(self) -> bool:
        """Whether it shows where an answer ends and the next one begins."""
        return (
            self._framing.prompts
            or self._framing.echoes
            or self._manner.answer.ends is Ending.STATUS
        )

    def _take(self, index: int) -> None:
        text = self._texts[index]
        if self._framing.is_pager(text) and self._manner.pager is not None:
            taker = of_template("pager", self._manner.pager.shows)
            self.framed[index] = Taken(role=Role.PAGER, took=(taker,))
        elif not (
            self._is_banner(index, text)
            or self._is_sent(index, text)
            or self._is_cue(index, text)
        ):
            self._is_body(index, text)

    def _is_body(self, index: int, text: str) -> None:
        opened = self.exchanges[-1]
        if opened.starting and text.strip():
            self.framed[index] = Taken(role=Role.STARTING)
            return
        if self._closed and opened.lines and not self._framing.prompts:
            opened = self._begin(None)
        opened.lines.append(index)
        if text.strip() and not self._framing.is_chatter(text):
            self._closed = first_match(self._ends, text) is not None

    def _begin(
        self, questions: tuple[Question, ...] | None, sent: str = ""
    ) -> Exchange:
        self._closed = False
        self.exchanges.append(Exchange(questions, sent))
        return self.exchanges[-1]

    def _is_banner(self, index: int, text: str) -> bool:
        for form in self._manner.banner:
            if form.match(text) is not None:
                taker = of_template("banner", form)
                self.framed[index] = Taken(role=Role.BANNER, took=(taker,))
                begun = self._begin(None)
                begun.starting = self._framing.prompts or self._framing.echoes
                self._closed = True
                return True
        return False

    def _is_cue(self, index: int, text: str) -> bool:
        """A login or a countdown, with what was replied to it behind it."""
        if not (self._closed or self.exchanges[-1].starting):
            return False
        for cue in self._manner.cues:
            if cue.shows.rest_after(text) is not None:
                taker = of_template("replies", cue.shows)
                self.framed[index] = Taken(role=Role.REPLIED, took=(taker,))
                return True
        return False

    def _is_sent(self, index: int, text: str) -> bool:
        if self._framing.prompts:
            return self._is_prompted(index, text)
        questions, count = self._sent_at(index, text)
        if not questions or not self._may_be_echo(questions):
            return False
        self._note_sent(index, count, questions)
        return True

    def _is_prompted(self, index: int, text: str) -> bool:
        prompt = self._manner.prompt
        behind = self._framing.echo_of(text)
        if prompt is None:
            return False
        if behind is None:
            return self._is_first_echo(index, text)
        took = (of_template("prompt", prompt),)
        if not behind.strip():
            self.framed[index] = Taken(role=Role.PROMPT, took=took)
            self._begin(None)
            self._closed = True
            return True
        questions, count = self._sent_at(index, behind)
        if questions:
            self._note_sent(index, count, questions, took)
            return True
        self.framed[index] = Taken(role=Role.TYPED, took=took)
        self._begin((), behind)
        return True

    def _is_first_echo(self, index: int, text: str) -> bool:
        """The prompt before the first echo may have been shown before the capture."""
        if any(text.strip() for text in self._texts[:index]):
            return False
        questions, count = self._sent_at(index, text)
        if questions and self._framing.echoes:
            self._note_sent(index, count, questions)
        return index in self.framed

    def _note_sent(
        self,
        index: int,
        count: int,
        questions: tuple[Question, ...],
        took: tuple[Taker, ...] = (),
    ) -> None:
        lines = tuple(of_template(f"line of {q.label}", q.line) for q in questions)
        for at in range(index, index + count):
            self.framed[at] = Taken(role=Role.SENT, took=(*took, *lines))
        first = self._texts[index]
        sent = (self._framing.echo_of(first) if took else first) or ""
        self._begin(questions, sent + "".join(self._texts[index + 1 : index + count]))

    def _sent_at(self, index: int, first: str) -> tuple[tuple[Question, ...], int]:
        """What was sent by an echo that begins here, and over how many lines."""
        most = PIECES if self._manner.echo is Echo.FOLDED else 1
        pieces = [first, *self._texts[index + 1 : index + most]]
        found: tuple[tuple[Question, ...], int] = ((), 1)
        for count in range(1, len(pieces) + 1):
            if found[0] and self._is_answered(found[0], pieces[count - 1]):
                return found
            matching = self._matching("".join(pieces[:count]))
            found = (matching, count) if matching else found
        return found

    def _matching(self, sent: str) -> tuple[Question, ...]:
        return tuple(q for q in self._questions if q.line.match(sent) is not None)

    def _is_answered(self, questions: tuple[Question, ...], line: str) -> bool:
        """Whether a line is part of the answer rather than of a folded echo."""
        readings = (read_answer(self._description, q, [line]) for q in questions)
        return any(r.taken[0].role is not Role.STRANGE for r in readings)

    def _may_be_echo(self, questions: tuple[Question, ...]) -> bool:
        """Without a prompt before it, an echo looks like any other line."""
        if all(isinstance(part, Literal) for part in questions[0].line.parts):
            return self._closed or self._framing.echoes
        if not self._framing.echoes:
            return False
        return self._closed or not self._ends


def _endings(questions: tuple[Question, ...]) -> tuple[LineForm, ...]:
    """Every status line there is, but none that would take any line."""
    forms = tuple(form for question in questions for form in question.forms)
    return tuple(form for taker, form in status_forms(forms) if not taker.looseness)

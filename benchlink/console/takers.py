"""Which parts of a description can take a line, and to which question each belongs."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from benchlink.console.columns import Columns
from benchlink.console.description import Description, Source, Step, Verb
from benchlink.console.forms import Block, Form, Heading, Pair, Row
from benchlink.console.template import Literal, Template
from benchlink.core.exchange import AnswerForm, Ending, LineForm
from benchlink.errors import Place

KINDS: Final[dict[type[Form], str]] = {
    Pair: "pair",
    Row: "row",
    Columns: "columns",
    Heading: "heading",
    Block: "block",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Taker:
    """One template in its part of the description."""

    part: str
    """Which key of the description it stands under."""
    text: str
    """As written there; empty for columns."""
    place: Place | None = None
    looseness: float = 0.0
    """0 where the line has to hold some text, near 1 where almost any line fits."""
    firmness: int = 0
    """How much text a line has to hold, and whether it begins with it."""

    def settles(self, other: "Taker") -> bool:
        """Whether this one before the other is the special case before the general."""
        return self.firmness > other.firmness

    def __str__(self) -> str:
        return f"{self.part}: {self.text}" if self.text else self.part


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Question:
    """A line that may be sent, and what the answer to it may hold."""

    label: str
    line: Template
    forms: tuple[AnswerForm, ...]
    """How its answer ends; more than one where keys follow the line."""
    gives: tuple[Template, ...] = ()
    split: str = ""
    """Cuts one line of the answer into several."""
    source: Source | None = None
    last: bool = True
    """Whether it is the last step of its source."""

    @property
    def statuses(self) -> tuple[Taker, ...]:
        """What tells how it went."""
        return tuple(dict.fromkeys(taker for taker, _ in status_forms(self.forms)))


def questions_of(description: Description) -> tuple[Question, ...]:
    """All that a description can say to a board; what reads settings comes first."""
    return tuple(_questions(description))


def _questions(description: Description) -> Iterator[Question]:
    for source in description.sources:
        yield from _of_verb("list", source.ask, source)
    for source in description.sources:
        if source.banks is not None:
            yield _of_step("bank", source.banks.select)
    for name, verb in description.all_verbs():
        yield from _of_verb(name, verb)
    for name, mode in description.modes.items():
        yield _of_step(f"mode {name}", mode.enter)
        yield _of_step(f"mode {name}", mode.leave)
    for line in description.manner.setup:
        literal = Template(line, (Literal(line),))
        form = description.manner.answer
        yield Question(label="setup", line=literal, forms=(form,))


def _of_step(label: str, step: Step) -> Question:
    return Question(label=label, line=step.line, forms=(step.form,))


def _of_verb(
    label: str, verb: Verb, source: Source | None = None
) -> Iterator[Question]:
    """One question for each line of a verb, with the keys that follow it.

    The lines of a value or a statement go with the one before: they could be any text.
    """
    starts = [
        index
        for index, step in enumerate(verb.steps)
        if not step.key and (index == 0 or not step.repeats)
    ]
    for start, stop in zip(starts, [*starts[1:], len(verb.steps)], strict=True):
        yield Question(
            label=label,
            line=verb.steps[start].line,
            forms=tuple(step.form for step in verb.steps[start:stop]),
            gives=_gives(verb, verb.steps[start:stop]),
            split=source.split if source else verb.split,
            source=source,
            last=start == starts[-1],
        )


def _gives(verb: Verb, steps: tuple[Step, ...]) -> tuple[Template, ...]:
    """What the answers to some steps give, each form once."""
    forms = (form for step in steps for form in step.gives or verb.gives)
    return tuple(dict.fromkeys(forms))


def status_forms(forms: tuple[AnswerForm, ...]) -> Iterator[tuple[Taker, LineForm]]:
    """The status lines of answers, in the order in which they are tried."""
    for form in forms:
        for part, lines in (
            ("ok", form.ok),
            ("noted", form.noted),
            ("again", form.again),
            ("refused", form.refused),
        ):
            for line in lines:
                yield of_template(part, line), line


def shown_marks(forms: tuple[AnswerForm, ...]) -> tuple[LineForm, ...]:
    """The unfinished lines that ask for a key."""
    return tuple(
        mark for form in forms if form.ends is Ending.SHOWS for mark in form.marks
    )


def of_template(part: str, form: LineForm) -> Taker:
    """A template under a key."""
    if not isinstance(form, Template):
        return Taker(part=part, text="")
    return Taker(
        part=part,
        text=form.source,
        place=form.place,
        looseness=0.0 if firmness_of(form) > 1 else 0.9,
        firmness=firmness_of(form),
    )


def of_form(form: Form) -> Taker:
    """A form of a source."""
    part = KINDS[type(form)]
    match form:
        case Columns(place=place):
            return Taker(part=part, text="", place=place, looseness=0.5)
        case Block(opens=opens):
            return of_template(part, opens)
        case Row(template=row):
            # Its cells have to come out even: not every line fits.
            taker = of_template(part, row)
            return replace(taker, looseness=min(taker.looseness, 0.5))
        case Pair(template=template) | Heading(template=template):
            return of_template(part, template)


def takers_of(question: Question) -> tuple[Taker, ...]:
    """Everything that the lines of an answer to it may be taken by."""
    takers = [
        of_template(f"gives of {question.label}", form) for form in question.gives
    ]
    source = question.source
    if source is not None:
        shown = source.bank_names.shown if source.bank_names else ()
        takers += [of_template("shown", form) for form in shown]
        takers += [of_template("furniture", form) for form in source.furniture]
        takers += [of_form(form) for form in source.forms]
    return tuple(takers)


def firmness_of(form: Template) -> int:
    """Twice the visible characters that have to stand there, one more at the start."""
    literals = [part.text for part in form.parts if isinstance(part, Literal)]
    visible = sum(len(text.strip()) for text in literals)
    return 2 * visible + isinstance(form.parts[0], Literal)

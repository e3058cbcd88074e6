"""Which step of a description a typed line is, and how its answer ends."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final, final

from benchlink.console.description import Mode, Step, Verb
from benchlink.console.grammar import Grammar
from benchlink.console.hazard_rules import LineKind
from benchlink.console.rendering import CHANGING
from benchlink.core.exchange import AnswerForm, Command, Ending
from benchlink.units import Seconds

QUIET: Final = Seconds(0.3)
"""Silence that ends an answer of which nobody knows how it ends."""
WITHIN: Final = Seconds(5.0)
"""How long such an answer may take to go on."""
ASKS: Final = "?"
"""What only a question holds in a program message (IEEE 488.2, 6.1.6)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownStep:
    """A step of a verb that a line is."""

    name: str
    """The verb, or what else needs it: `list`, a mode, a bank."""
    verb: Verb
    step: Step
    mode: str | None = None
    """The mode that it enters, empty where it leaves one."""

    @property
    def opens_a_text(self) -> bool:
        """Whether the lines after it would be no commands."""
        return self.verb.by_line and self.step is self.verb.steps[0]

    @property
    def keys(self) -> tuple[Step, ...]:
        """The keys that answer what it asks, in their order."""
        after = self.verb.steps[self.verb.steps.index(self.step) + 1 :]
        return after if after and all(step.key for step in after) else ()

    @property
    def answers(self) -> str:
        """The same, for a message."""
        return " ".join(step.line.source for step in self.keys)


@final
class KnownSteps:
    """All steps of a description, the plainest first."""

    def __init__(self, grammar: Grammar) -> None:
        self._grammar: Final = grammar
        self._steps: Final = tuple(
            sorted(_steps(grammar), key=lambda known: len(known.step.line.fields))
        )

    def of(self, line: str) -> KnownStep | None:
        """The step that a line is, letter by letter; None where it is none."""
        fits = (k for k in self._steps if k.step.line.match(line) is not None)
        return next(fits, None)

    def commands(self, line: str, known: KnownStep | None) -> tuple[Command, ...]:
        """The line, and the keys that answer what it asks."""
        keys = known.keys if known else ()
        return (
            self.command(line, known),
            *(
                Command(
                    line=step.line.source,
                    answer_within=step.form.within,
                    form=step.form,
                    key=True,
                )
                for step in keys
            ),
        )

    def command(self, line: str, known: KnownStep | None) -> Command:
        """The line alone, with the end of its answer as far as that is known."""
        if known is None:
            form = self._form(line)
            return Command(line=line, answer_within=form.within, form=form)
        form = known.step.form
        pages = self._grammar.description.manner.pager is not None
        return Command(
            line=line,
            answer_within=form.within,
            form=form,
            alone=known.verb.alone or pages,
            changes=known.name.startswith(CHANGING),
        )

    def restart(self, command: Command) -> Command:
        """The last command of a line that restarts the board, however it is spelled."""
        verb = self._grammar.description.verbs.get("restart")
        form = verb.steps[-1].form if verb else command.form
        return replace(
            command, form=form, answer_within=form.within, alone=True, restarts=True
        )

    def _form(self, line: str) -> AnswerForm:
        """How the answer to a line ends that the description does not know."""
        description = self._grammar.description
        manner, rules = description.manner, description.hazards
        ends = Ending.QUIET if manner.prompt is None else Ending.PROMPT
        if rules is not None and rules.kind is LineKind.MESSAGE and ASKS not in line:
            ends = Ending.NOTHING
        return replace(
            manner.answer,
            ends=ends,
            marks=(),
            at_least=0,
            quiet=max(QUIET, manner.answer.quiet),
            within=max(WITHIN, manner.answer.within),
            needs_word=False,
        )


def _steps(grammar: Grammar) -> Iterator[KnownStep]:
    description = grammar.description
    for name, verb in description.verbs.items():
        yield from _of(name, verb)
    for asking in description.readings:
        yield from _of("readings", asking.verb)
    for source in description.sources:
        yield from _of("list", source.ask)
        if source.banks is not None:
            yield from _of("bank", Verb(steps=(source.banks.select,)))
    for name, mode in description.modes.items():
        yield from _of_mode(name, mode)


def _of(name: str, verb: Verb) -> Iterator[KnownStep]:
    for step in verb.steps:
        if not step.key and not step.repeats:
            yield KnownStep(name=name, verb=verb, step=step)


def _of_mode(name: str, mode: Mode) -> Iterator[KnownStep]:
    for step, entered in ((mode.enter, name), (mode.leave, "")):
        yield KnownStep(name=name, verb=Verb(steps=(step,)), step=step, mode=entered)

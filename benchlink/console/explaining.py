"""A console description held against a text: what took each line, and what nothing did.

The text may be a listing alone, a whole session with prompts and echoes, or the raw
bytes of either. Every line is named: the first template that takes it is what a
conversation would use, the others show that two could.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import zip_longest
from typing import Final, final

from benchlink.console.answer_reading import (
    BODY,
    AnswerReader,
    Reading,
    Role,
    Taken,
    read_answer,
)
from benchlink.console.description import Description, Echo, Source
from benchlink.console.exchanges import Cutting, Exchange
from benchlink.console.framing import first_match
from benchlink.console.gathering import Gathering
from benchlink.console.grammar import Grammar
from benchlink.console.listing import has_names
from benchlink.console.rendering import CHANGING
from benchlink.console.round_trip import RoundTrip, round_trip
from benchlink.console.samples import chosen
from benchlink.console.takers import (
    Question,
    Taker,
    of_template,
    questions_of,
    takers_of,
)
from benchlink.console.template import Template
from benchlink.console.terminal import Terminal
from benchlink.core.settings import Snapshot

BYTE_ORDER_MARK: Final = b"\xef\xbb\xbf"


@dataclass(frozen=True, slots=True, kw_only=True)
class Explained:
    """One line of the text."""

    number: int
    """From 1, as an editor counts."""
    text: str
    taken: Taken
    label: str = ""
    """What it answers, as far as that is known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """What a description makes of a text."""

    lines: tuple[Explained, ...]
    snapshot: Snapshot
    """The settings found, as a reading of the board would have them."""
    trips: tuple[RoundTrip, ...]
    samples: tuple[RoundTrip, ...] = ()
    """One of them for each form and spelling."""
    counts: Mapping[Taker, int] = field(default_factory=dict)
    """How many lines each template took, also those that took none."""
    unsaid: tuple[str, ...] = ()
    """Verbs that do not occur in the text."""
    troubles: tuple[str, ...] = ()
    """What is wrong with a listing as a whole: counts, second names, open ends."""

    @property
    def strange(self) -> tuple[Explained, ...]:
        """The lines that nothing took."""
        return tuple(e for e in self.lines if e.taken.role is Role.STRANGE)

    @property
    def ambiguous(self) -> tuple[Explained, ...]:
        """The lines that two could take."""
        return tuple(e for e in self.lines if e.taken.rivals)

    @property
    def idle(self) -> tuple[Taker, ...]:
        """Templates that took no line though their question was asked."""
        return tuple(taker for taker, count in self.counts.items() if not count)

    @property
    def good(self) -> bool:
        """Whether every line is accounted for, each by one template."""
        return not (self.strange or self.ambiguous or self.troubles)


def explain(
    description: Description, text: bytes, *, bare: bool = False
) -> Explanation:
    """Hold a description against a text.

    With `bare` the text holds the answers of the sources and nothing between them, as
    a full copy of a board keeps them.
    """
    explaining = _Explaining(description, text)
    if bare:
        explaining.read_bare()
    else:
        explaining.read_session()
    return explaining.explanation()


def read_snapshot(
    description: Description, text: bytes, *, bare: bool = False
) -> Snapshot:
    """The same as a reading of the board: settings, and the lines that none took."""
    explaining = _Explaining(description, text)
    if bare:
        explaining.read_bare()
    else:
        explaining.read_session()
    return explaining.snapshot()


def lines_of(description: Description, text: bytes) -> tuple[str, ...]:
    """The lines of a text as a terminal would show them."""
    text = text.removeprefix(BYTE_ORDER_MARK)
    manner = description.manner
    cr_ends = manner.board_ends_with_cr
    if cr_ends:
        # A person's editor may have put an end of its own behind the board's.
        text = text.replace(b"\r\n", b"\n")
    if text and not text.endswith((b"\n", b"\r") if cr_ends else b"\n"):
        text += b"\n"
    terminal = Terminal(cr_ends=cr_ends, charset=manner.charset)
    return tuple(line.text for line in terminal.feed(text))


@final
class _Explaining:
    def __init__(self, description: Description, text: bytes) -> None:
        self._description: Final = description
        self._texts: Final = lines_of(description, text)
        self._questions: Final = questions_of(description)
        self._taken: Final[dict[int, Taken]] = {}
        self._labels: Final[dict[int, str]] = {}
        self._asked: Final[dict[Question, None]] = {}
        self._settings: Final = Gathering(description)

    def read_session(self) -> None:
        cutting = Cutting(self._description, self._questions, self._texts)
        self._taken.update(cutting.framed)
        for exchange in cutting.exchanges:
            if _may_change(exchange):
                self._settings.close()
            if cutting.delimited:
                best = self._best(exchange, exchange.lines)
                self._note(exchange, exchange.lines, best)
            else:
                self._read_runs(exchange)

    def read_bare(self) -> None:
        """Each line by the source that is at it, or else by one that fits better."""
        readers = {
            question: AnswerReader(self._description, question)
            for question in self._questions
            if question.source is not None and question.last
        }
        parts: dict[Question, list[list[int]]] = {q: [] for q in readers}
        order = list(readers)
        for index, text in enumerate(self._texts):
            chosen, taken = _best_source(readers, order, text)
            self._taken[index] = taken
            if chosen is not None:
                order.remove(chosen)
                order.insert(0, chosen)
                self._add_to(parts[chosen], chosen, index)
        for question, answers in parts.items():
            banks = question.source.listed_banks if question.source else None
            # Where no line tells the bank, its place among the answers does.
            names = banks.names if banks and not banks.shown else ()
            for answer, name in zip_longest(answers, names[: len(answers)]):
                found = tuple(self._taken[index] for index in answer)
                reading = Reading(question=question, taken=found, asked=name or "")
                self._note(Exchange((question,)), answer, reading)

    def _add_to(self, answers: list[list[int]], question: Question, index: int) -> None:
        """A list begins anew where its first line comes again, or the next bank's."""
        text = self._texts[index]
        first = self._texts[answers[0][0]] if answers else ""
        banks = question.source.listed_banks if question.source else None
        shown = banks is not None and first_match(banks.shown, text) is not None
        if not answers or shown or (first.strip() and text == first):
            answers.append([])
        answers[-1].append(index)

    def _read_runs(self, exchange: Exchange) -> None:
        at = 0
        while at < len(exchange.lines):
            rest = exchange.lines[at:]
            reading = self._longest(exchange, rest)
            self._note(exchange, rest[: len(reading.taken)], reading)
            at += len(reading.taken)

    def snapshot(self) -> Snapshot:
        """The settings found, and what there is beside them."""
        snapshot = self._settings.finish()
        strange = tuple(
            self._texts[index]
            for index, taken in sorted(self._taken.items())
            if taken.role is Role.STRANGE
        )
        troubles = self._settings.troubles
        return replace(snapshot, not_understood=(*strange, *troubles))

    def explanation(self) -> Explanation:
        snapshot = self._settings.finish()
        grammar = Grammar(self._description)
        trips = tuple(
            round_trip(grammar, setting, snapshot)
            for setting in snapshot.settings.values()
        )
        return Explanation(
            lines=tuple(
                Explained(
                    number=index + 1,
                    text=text,
                    taken=self._taken[index],
                    label=self._labels.get(index, ""),
                )
                for index, text in enumerate(self._texts)
            ),
            snapshot=snapshot,
            trips=trips,
            samples=chosen(grammar, trips),
            counts=self._counts(),
            unsaid=self._unsaid(),
            troubles=self._settings.troubles,
        )

    def _best(self, exchange: Exchange, indexes: list[int]) -> Reading:
        """The question that these lines answer best."""
        lines = [self._texts[index] for index in indexes]
        readings = [
            read_answer(self._description, question, lines, asked)
            for question, asked in self._candidates(exchange)
        ]
        best = min(readings, key=lambda reading: reading.cost, default=None)
        if best is None or (exchange.questions == () and best.cost):
            return read_answer(self._description, self._nothing(exchange), lines)
        return best

    def _longest(self, exchange: Exchange, indexes: list[int]) -> Reading:
        """The question that takes most of the lines from here on, or a strange one."""
        found = [
            self._run(question, asked, indexes)
            for question, asked in self._candidates(exchange)
        ]
        worth = [(len(r.taken) - r.cost, -place) for place, r in enumerate(found)]
        best = found[-max(worth)[1]] if worth else None
        if best is not None and best.taken:
            return best
        lines = [self._texts[indexes[0]]]
        return read_answer(self._description, self._nothing(exchange), lines)

    def _run(self, question: Question, asked: str, indexes: list[int]) -> Reading:
        lines = [self._texts[index] for index in indexes]
        reading = read_answer(self._description, question, lines, asked)
        roles = [taken.role for taken in reading.taken]
        length = roles.index(Role.STRANGE) if Role.STRANGE in roles else len(roles)
        return Reading(question=question, taken=reading.taken[:length], asked=asked)

    def _candidates(self, exchange: Exchange) -> Iterator[tuple[Question, str]]:
        """What may have been asked, and the name it was asked for."""
        for question in exchange.questions or self._questions:
            fields = question.line.match(exchange.sent) or {}
            asked = fields.get("name", fields.get("bank", ""))
            if asked or question.source is None or has_names(question.source):
                yield question, asked

    def _nothing(self, exchange: Exchange) -> Question:
        """Stands for a line that nothing here sends."""
        form = self._description.manner.answer
        line = Template(exchange.sent, ())
        return Question(label=f"`{exchange.sent}`", line=line, forms=(form,))

    def _note(self, exchange: Exchange, indexes: list[int], reading: Reading) -> None:
        pairs = list(zip(indexes, reading.taken, strict=True))
        self._taken.update(pairs)
        told = any(taken.role in BODY - {Role.BLANK} for _, taken in pairs)
        if not told:
            self._asked.update(dict.fromkeys((exchange.questions or ())[:1]))
            return
        known = reading.question in self._questions
        if known:
            self._asked[reading.question] = None
            label = reading.question.label
        else:
            label = f"`{exchange.sent}`" if exchange.sent else ""
        self._labels.update(dict.fromkeys(indexes, label))
        body = [self._texts[i] for i, taken in pairs if taken.role in BODY]
        self._settings.take(reading, body, certain=exchange.questions is not None)

    def _counts(self) -> Mapping[Taker, int]:
        """Per template: all that framed a line, and all of what was asked."""
        counts = Counter(
            taker for taken in self._taken.values() for taker in taken.took
        )
        manner = self._description.manner
        known = [of_template("chatter", form) for form in manner.chatter]
        known += [of_template("banner", form) for form in manner.banner]
        for question in self._asked:
            known += [*takers_of(question), *question.statuses]
        return {taker: counts[taker] for taker in (*known, *counts)}

    def _unsaid(self) -> tuple[str, ...]:
        labels = {question.label for question in self._asked}
        echoes = self._description.manner.echo is not Echo.NONE
        return tuple(
            name
            for name, verb in self._description.verbs.items()
            # Without an echo only an answer of its own shows that a verb was said.
            if name not in labels and (echoes or verb.gives)
        )


def _best_source(
    readers: Mapping[Question, AnswerReader], order: list[Question], text: str
) -> tuple[Question | None, Taken]:
    """The first source that has to know the line, or else the first that may take it."""
    chosen, best = None, Taken(role=Role.STRANGE)
    for question in order:
        taken = readers[question].take(text)
        if not _asked_for(question.source, taken.names):
            continue
        if taken.role is not Role.STRANGE and (chosen is None or not taken.looseness):
            chosen, best = question, taken
        if chosen is not None and not best.looseness:
            break
    return chosen, best


def _asked_for(source: Source | None, names: tuple[str, ...]) -> bool:
    """Whether a source that asks for each thing by its name asks for one of these."""
    if source is None or not names or not (source.each or source.numbered):
        return True
    # A row names its thing first: `+ACO` is asked for, `+ACO.X` comes.
    begins = [name[:end] for name in names for end in range(1, len(name) + 1)]
    return any(
        begin in source.each or any(form.match(begin) for form in source.numbered)
        for begin in begins
    )


def _may_change(exchange: Exchange) -> bool:
    """Whether what was read before may not hold afterwards."""
    return exchange.questions is not None and (
        not exchange.questions or exchange.questions[0].label.startswith(CHANGING)
    )

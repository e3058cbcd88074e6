"""Writes that take several lines: what stands in each, and what must not stand there.

A line of a value is sent as any other line, so it must not read as the line that ends
the value; and it comes back in a listing, where it must not read as anything else.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from benchlink.console.description import Description, Step, Verb
from benchlink.console.forms import Block
from benchlink.console.framing import first_match, status_of
from benchlink.console.spelling import Where
from benchlink.core.exchange import AnswerForm, LineForm
from benchlink.core.intent import matches_any
from benchlink.core.settings import Setting
from benchlink.core.values import Value

NOTHING: Final[Mapping[str, str]] = {}


def repeated(
    step: Step, texts: Mapping[str, tuple[str, ...]]
) -> Iterable[Mapping[str, str]]:
    """The fields of each line that a step stands for.

    Raises:
        ValueError: there is nothing to repeat it for.
    """
    if not step.repeats:
        return (NOTHING,)
    if step.repeats not in texts:
        msg = (
            f"the line {step.line.source!r} needs {{{step.repeats}}}, which it has not"
        )
        raise ValueError(msg)
    return tuple({step.repeats: text} for text in texts[step.repeats])


def refuse_look_alikes(
    description: Description, verb: Verb, lines: Iterable[str]
) -> None:
    """Refuse lines of a value that would be taken for something else.

    Raises:
        ValueError: with the number of the line, and what it would be taken for.
    """
    listed = tuple(_listed(description))
    steps = [step for step in verb.steps if step.repeats == "line"]
    for number, line in enumerate(lines, start=1):
        sent = (step.line.render({"line": line}) for step in steps)
        if any(_ends_it(verb, text) for text in sent):
            msg = f"line {number} of it, {line!r}, would end it"
            raise ValueError(msg)
        if _is_other(description, listed, line):
            msg = f"line {number} of it, {line!r}, would be listed as something else"
            raise ValueError(msg)


def refuse_poison(
    description: Description, setting: Setting, value: Value, spelled: str
) -> None:
    """Refuse a write that the console must never be sent.

    Raises:
        ValueError: with the reason that the description gives.
    """
    codec = description.spelling.codec(setting.name, Where.WRITE)
    for poison in description.never:
        if matches_any((poison.name,), setting.name) and (
            matches_any((poison.value,), spelled) or codec.read(poison.value) == value
        ):
            msg = f"must never be written: {poison.why}"
            raise ValueError(msg)


def _ends_it(verb: Verb, sent: str) -> bool:
    repeats = [bool(step.repeats) for step in verb.steps]
    after = verb.steps[repeats.index(True) :]
    steps = [step for step in after if not (step.repeats or step.line.fields)]
    ends = [step.line for step in (*steps, verb.way_out) if step is not None]
    # Some boards trim what they are sent.
    return any(line.match(sent.strip(" ")) is not None for line in ends)


def _listed(description: Description) -> Iterator[LineForm]:
    """What a line of a listing may be, but for settings."""
    manner = description.manner
    yield from (*manner.banner, *manner.chatter)
    if manner.pager is not None:
        yield manner.pager.shows
    for source in description.sources:
        yield from (form.closes for form in source.forms if isinstance(form, Block))


def _is_other(
    description: Description, listed: tuple[LineForm, ...], line: str
) -> bool:
    prompt = description.manner.prompt
    return (
        first_match(listed, line) is not None
        or (prompt is not None and prompt.rest_after(f"{line} ") is not None)
        or any(_is_status(form, line) for form in _answers(description))
        or any(
            len(description.spelling.pieces(line, source.split)) > 1
            for source in description.sources
        )
    )


def _answers(description: Description) -> Iterator[AnswerForm]:
    for source in description.sources:
        yield from (step.form for step in source.ask.steps)


def _is_status(form: AnswerForm, line: str) -> bool:
    return (
        status_of(form, line) is not None
        or first_match((*form.failed, *form.marks), line) is not None
    )

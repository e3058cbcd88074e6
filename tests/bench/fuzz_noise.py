"""What may stand in a damaged session: the console's own words, and worse."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from random import Random
from typing import Final

from benchlink.console.description import Description
from benchlink.console.forms import Block
from benchlink.console.template import Template, template
from benchlink.core.exchange import AnswerForm, Command, Ending

RAW: Final = (
    *(b"\r", b"\n", b"\r\n", b"\r\r\n", b"\b", b"\b \b", b"\t", b"\x00", b"\x15"),
    *(b"\x1b[K", b"\r\x1b[K", b"\x1b[2K", b"\x1b[1K", b"\x1b[9999999C", b"\x1b[3D"),
    *(b"\x1b]0;", b"\x07", b"\x1b", b"\x1b[", b"\x1bc", b"\x1b[31m", b"\x1b[1;1H"),
    *(b"\xff\xfe", b"\xe2\x82", b"\xc3\xa4", b"\xf0\x9f\x9a\x81", b"\xed\xa0\x80"),
    *(b"#0\n", b"#15hello\n", b"#3999", b"#9999999999", b"0 rows\r\n", b"2 rows\r\n"),
    *(b'"', b"'", b"\\", b"[", b"]", b",", b"=", b": ", b" ", b"{", b"{name}"),
)
"""Bytes that have given trouble somewhere, or could."""

LONGEST: Final = 5000
FILLS: Final = ("3", "12", "yes", "a.b", "tilt left centre", "99999999999", "", "x: y")
"""What stands in the fields of a made-up line."""

CLOSING: Final = template("end of it")
COUNTED: Final = template("{count} rows")
QUESTION: Final = template("sure? ")
AGAIN: Final = template("wait: {remark}")


def noise(chance: Random, description: Description, lines: Sequence[str]) -> bytes:
    """Some bytes that do not belong there; `lines` are the commands of the session."""
    makers: tuple[Callable[[], bytes], ...] = (
        lambda: chance.choice(RAW),
        lambda: chance.randbytes(chance.randint(1, 40)),
        lambda: _word(chance, description),
        lambda: _word(chance, description),
        lambda: _echo(chance, lines),
        lambda: chance.choice((b"9", b"x", b"\xff", b"\t", b"\r", b'"')) * LONGEST,
    )
    return chance.choice(makers)()


def _echo(chance: Random, lines: Sequence[str]) -> bytes:
    line = chance.choice(lines) if lines else "plate"
    return line.encode() + chance.choice((b"\r\n", b"\r", b"\n", b""))


def _word(chance: Random, description: Description) -> bytes:
    """A line, or an unfinished one, as this console could say it."""
    form = chance.choice([*spoken(description), CLOSING, COUNTED, QUESTION, AGAIN])
    return _said(chance, form) + chance.choice((b"\r\n", b"\r\n", b"\n", b"\r", b""))


def _said(chance: Random, form: Template) -> bytes:
    return form.render({name: chance.choice(FILLS) for name in form.fields}).encode()


def spoken(description: Description) -> Iterator[Template]:
    """Every template by which something of this board is read."""
    manner = description.manner
    cues = (*manner.cues, *([manner.pager] if manner.pager else []))
    yield from (cue.shows for cue in cues)
    yield from (*manner.chatter, *manner.banner, *manner.hello_gives)
    if manner.prompt is not None:
        yield manner.prompt
    for verb in description.verbs.values():
        yield from verb.gives
        for step in verb.steps:
            yield from of_form(step.form)
    for source in description.sources:
        yield from source.furniture
        for form in source.forms:
            if isinstance(form, Block):
                yield from (form.opens, form.closes)
            found = getattr(form, "template", None)
            if isinstance(found, Template):
                yield found


def of_form(form: AnswerForm) -> Iterator[Template]:
    """The templates of one answer."""
    found = (*form.ok, *form.noted, *form.refused, *form.again, *form.failed)
    for one in (*found, *form.marks):
        if isinstance(one, Template):
            yield one


def answer_to(
    chance: Random, command: Command, description: Description
) -> tuple[bytes, ...]:
    """Echo, some line of the answer's own, and the prompt."""
    prompt = description.manner.prompt
    said = [command.line.encode() + b"\r\n"]
    words = list(of_form(command.form))
    if words:
        said.append(_said(chance, chance.choice(words)) + b"\r\n")
    return (*said, _said(chance, prompt)) if prompt else tuple(said)


def otherwise(chance: Random, command: Command) -> Command:
    """The same command, whose answer ends otherwise."""
    ends = chance.choice(list(Ending))
    marks = {
        Ending.CLOSING: (CLOSING,),
        Ending.COUNT: (COUNTED,),
        Ending.SHOWS: (QUESTION,),
    }
    form = replace(
        command.form,
        ends=ends,
        marks=marks.get(ends, ()),
        needs_word=chance.random() < 0.5,
        again=(AGAIN,),
    )
    return replace(
        command,
        form=form,
        key=chance.random() < 0.2,
        changes=chance.random() < 0.3,
        restarts=chance.random() < 0.1,
    )

"""A drafted baseline as a profile file, proven against the board it was drawn from."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from benchlink.core.difference import compare
from benchlink.core.document import Problems
from benchlink.core.drafting import Drafted, Drawn, Pattern, literal
from benchlink.core.identity import Identity
from benchlink.core.settings import Snapshot
from benchlink.core.values import Series, Text, Unset, Value, Word, as_kind_of
from benchlink.errors import FileError, MisuseError
from benchlink.store import atomic
from benchlink.store.layer import VERSION, VERSION_KEY, read_layer
from benchlink.store.notation import bare_or_quoted, quoted
from benchlink.store.profiles import fold
from benchlink.store.strict_yaml import load

UNNAMED: Final = "a fresh board has no such setting"


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """What stands above the values of a draft."""

    title: str
    identity: Identity
    """Of the board that it was drawn from."""
    drawn_from: str
    """What to call that board's values: a port, or the file of a backup."""
    aircraft_type: str = ""


def render(drafted: Drafted, heading: Heading) -> str:
    """The whole file."""
    return "".join(f"{line}\n" for line in _lines(drafted, heading))


def write(path: Path, drafted: Drafted, heading: Heading, snapshot: Snapshot) -> None:
    """Write the file once, when it is proven to ask for what the board holds.

    Raises:
        FileError: the file is there already, or could not be written.
    """
    text = render(drafted, heading)
    _prove(text, str(path), snapshot)
    if not atomic.create(path, text.encode()):
        raise there_already(path)


def there_already(path: Path) -> FileError:
    """The refusal to write over a file."""
    return FileError(
        f"{path} is there already",
        hint="Nothing was written: a draft never replaces a file. Name another one.",
    )


def _prove(text: str, name: str, snapshot: Snapshot) -> None:
    problems = Problems()
    layer = read_layer(load(text, name), problems)
    problems.stop_if_any(name)
    if layer is not None and compare(snapshot, fold([layer], name, problems)).same:
        return
    msg = f"the draft {name} does not ask for what the board holds"
    raise MisuseError(msg, hint="Nothing was written.")


def _lines(drafted: Drafted, heading: Heading) -> Iterator[str]:
    yield f"{VERSION_KEY}: {VERSION}"
    yield f"title: {quoted(heading.title)}"
    yield "layer: baseline"
    if heading.aircraft_type:
        yield f"aircraft-type: {quoted(heading.aircraft_type)}"
    yield from _fits(heading.identity)
    yield ""
    yield f"# Drawn from {_safe(str(heading.identity))} ({_safe(heading.drawn_from)}):"
    yield "# whatever is not as its maker delivered it. Strike what is an accident of"
    yield "# that one aircraft, and write down why the rest is as it is."
    yield from _left_alone("belongs-to-aircraft", drafted.fitted)
    yield from _left_alone("belongs-to-board", drafted.board)
    yield from _settings(drafted.settings)
    yield from _comments("A kit decides these", drafted.kit)


def _fits(identity: Identity) -> Iterator[str]:
    fields = [
        f"{key}: [{bare_or_quoted(literal(text))}]"
        for key, text in (
            ("boards", identity.board_type),
            ("firmware", identity.firmware),
        )
        if text
    ]
    if fields:
        yield f"fits: {{{', '.join(fields)}}}"


def _left_alone(key: str, patterns: Iterable[Pattern]) -> Iterator[str]:
    listed = tuple(patterns)
    if not listed:
        return
    yield ""
    yield f"{key}:"
    for pattern in listed:
        yield f"  - {quoted(pattern.pattern)}"
        yield from (
            f"    # {_safe(d.name)}: {_safe(str(d.value))}" for d in pattern.drawn
        )


def _settings(drawn: Iterable[Drawn]) -> Iterator[str]:
    listed = tuple(drawn)
    told = [one for one in listed if _tellable(one)]
    if told:
        yield ""
        yield "settings:"
    group = None
    for one in told:
        if one.group != group:
            yield f"  # {_safe(one.group)}"
        group = one.group
        yield f"  {_entry(one)}  # {_why(one)}"
    untold = [one for one in listed if not _tellable(one)]
    yield from _comments("No profile can ask for these", untold)


def _comments(title: str, drawn: Sequence[Drawn]) -> Iterator[str]:
    if drawn:
        yield ""
        yield f"# {title}:"
        yield from (f"#   {_safe(d.name)}: {_safe(str(d.value))}" for d in drawn)


def _entry(one: Drawn) -> str:
    fields = (
        f"value: {_notation(one.value)}",
        f"group: {bare_or_quoted(one.group)}",
        'reason: ""',
    )
    return f"{bare_or_quoted(one.name)}: {{{', '.join(fields)}}}"


def _why(one: Drawn) -> str:
    if one.made is None:
        return f"{UNNAMED}: why?"
    return f"made as {_safe(str(one.made))}: why?"


def _tellable(one: Drawn) -> bool:
    """Whether a profile can ask for it so that it reads back as the same value."""
    name = one.name
    if not name.isprintable() or name != name.strip() or len(name) > LONGEST_NAME:
        return False
    try:
        node = load(_notation(one.value), name)
        return as_kind_of(one.value, node) == one.value
    except (FileError, ValueError):
        return False


LONGEST_NAME: Final = 500
"""YAML 1.1, section 7.4.2, allows a key 1024 characters, escapes counted."""


def _notation(value: Value) -> str:
    """A value as a profile asks for it; the board decides its kind."""
    match value:
        case Text(text):
            return quoted(text)
        case Word(word):
            return quoted(word) if word == str(Unset()) else bare_or_quoted(word)
        case Series(values):
            return "[" + ", ".join(map(_notation, values)) + "]"
        case _:
            return str(value)


def _safe(text: str) -> str:
    """Text for a comment: nothing in it ends the line or hides."""
    return "".join(char if char.isprintable() else "?" for char in text)

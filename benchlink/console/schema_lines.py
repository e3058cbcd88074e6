"""Reading the smallest parts of a description file: templates, bytes, words, times."""

from collections.abc import Iterable
from typing import Final

from benchlink.console.template import Template, TemplateError, template
from benchlink.core.document import Node, Scalar, TableReader
from benchlink.units import Seconds

YES_NO: Final = {"yes": True, "no": False}


def template_of(
    reader: TableReader,
    node: Node | None,
    needed: Iterable[str] = (),
    *,
    only: frozenset[str] | None = None,
    blank: bool = False,
) -> Template | None:
    """The template in a node; None, with the mistake noted, when it is none.

    `needed` fields have to stand in it; with `only`, no others may; with `blank` it may
    stand for an empty line.
    """
    if not isinstance(node, Scalar):
        if node is not None:
            reader.problems.add(node.place, f"{reader.what}: a line is text")
        return None
    if blank and not node.text:
        return Template("", (), node.place)
    try:
        form = template(node.text, node.place)
    except TemplateError as exc:
        place = f"at character {exc.column} of {node.text!r}"
        reader.problems.add(node.place, f"{reader.what}: {exc} ({place})")
        return None
    for name in sorted(set(needed) - set(form.fields)):
        reader.problems.add(
            node.place, f"{reader.what} needs {{{name}}} in {node.text!r}"
        )
    for name in sorted(set(form.fields) - only if only is not None else ()):
        known = ", ".join(f"{{{field}}}" for field in sorted(only or ())) or "no fields"
        reader.problems.add(
            node.place, f"{reader.what} cannot fill {{{name}}}; it has {known}"
        )
    return form


def templates(
    reader: TableReader | None,
    key: str,
    needed: Iterable[str] = (),
    *,
    blank: bool = False,
) -> tuple[Template, ...]:
    """The templates listed under a key."""
    if reader is None:
        return ()
    nodes = reader.texts(key)
    made = [template_of(reader, node, needed, blank=blank) for node in nodes]
    return tuple(form for form in made if form)


def plain(reader: TableReader | None, key: str) -> tuple[str, ...]:
    """The texts listed under a key."""
    return tuple(s.text for s in reader.texts(key)) if reader else ()


def yes(reader: TableReader, key: str, *, default: bool) -> bool:
    """A yes or no under a key."""
    return reader.choice(key, YES_NO, default=default)


def seconds(reader: TableReader | None, key: str, default: Seconds) -> Seconds:
    """A time under a key, in seconds."""
    return Seconds(reader.number(key, default)) if reader else default


def byte(reader: TableReader | None, key: str) -> bytes:
    """One byte in hex under a key."""
    node = reader.take(key) if reader else None
    if reader is None or node is None:
        return b""
    text = node.text if isinstance(node, Scalar) else ""
    try:
        return bytes([int(text.removeprefix("0x"), 16)])
    except ValueError:
        reader.problems.add(node.place, f"`{key}:` is one byte in hex, such as 0x15")
        return b""


def words(reader: TableReader | None, key: str) -> dict[str, str]:
    """A table of texts under a key."""
    table = reader.table(key, f"`{key}:`") if reader else None
    if table is None:
        return {}
    found: dict[str, str] = {}
    for entry in table.entries():
        if isinstance(entry.value, Scalar):
            found[entry.key.text] = entry.value.text
        else:
            table.problems.add(entry.value.place, f"`{key}:` lists texts")
    return found

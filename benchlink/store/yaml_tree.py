"""The tree of one YAML text, built from the parser's events without recursion.

No nesting can exhaust the stack, and what is refused is noted with its place while
the building goes on.
"""

from dataclasses import dataclass, field
from typing import Final, final

import yaml

from benchlink.core.document import Entry, Items, Node, Problems, Scalar, Table
from benchlink.errors import MisuseError, Place

MAX_DEPTH: Final = 20
"""Tables and lists inside each other."""

_BLOCK_STYLES: Final = ("|", ">")


@dataclass(frozen=True, slots=True)
class Span:
    """Where a node stands in the text: lines from 1, columns from 0, end excluded."""

    line: int
    column: int
    end_line: int
    end_column: int
    block: bool = False
    """A scalar of several lines, opened with `|` or `>`: its end is not exact."""


@dataclass(slots=True)
class _Frame:
    """A table or list that is still open."""

    place: Place
    span: Span
    table: bool
    children: list[Node] = field(default_factory=list)
    last: Span | None = None


@final
class Builder:
    """Builds nodes from events, noting what is refused."""

    def __init__(self, name: str, problems: Problems) -> None:
        self.name: Final = name
        self.problems: Final = problems
        self.root: Node | None = None
        self.spans: Final[dict[tuple[bool, Place], Span]] = {}
        self.stopped = False
        self._frames: list[_Frame] = []
        self._documents = 0

    def take(self, event: yaml.Event) -> None:
        """Use one event."""
        match event:
            case yaml.DocumentStartEvent():
                self._document(event)
            case yaml.AliasEvent():
                self._refuse(event, f"`*{event.anchor}`: references are not used here")
                self._add(Scalar("", quoted=False, place=self._place(event)), event)
            case yaml.ScalarEvent():
                self._check(event)
                self._scalar(event)
            case yaml.MappingStartEvent() | yaml.SequenceStartEvent():
                self._check(event)
                self._open(event)
            case yaml.MappingEndEvent() | yaml.SequenceEndEvent():
                self._close(event)
            case _:
                pass

    def _document(self, event: yaml.DocumentStartEvent) -> None:
        self._documents += 1
        if self._documents > 1:
            self._refuse(event, "a second document begins here: one file holds one")
            self.stopped = True

    def _check(self, event: yaml.NodeEvent) -> None:
        if event.anchor is not None:
            self._refuse(event, f"`&{event.anchor}`: anchors are not used here")
        if getattr(event, "tag", None) is not None:
            self._refuse(event, "tags that begin with `!` are not used here")

    def _scalar(self, event: yaml.ScalarEvent) -> None:
        text = str(event.value)
        if any("\ud800" <= c <= "\udfff" for c in text):
            self._refuse(event, "half of a surrogate pair is not a character")
        quoted = event.style not in {None, ""}
        self._add(Scalar(text, quoted=quoted, place=self._place(event)), event)

    def _open(self, event: yaml.CollectionStartEvent) -> None:
        if len(self._frames) == MAX_DEPTH:
            self._refuse(
                event, f"more than {MAX_DEPTH} tables and lists inside each other"
            )
            self.stopped = True
            return
        table = isinstance(event, yaml.MappingStartEvent)
        self._frames.append(_Frame(self._place(event), _span(event), table=table))

    def _close(self, event: yaml.Event) -> None:
        frame = self._frames.pop()
        end = _span(event)
        # The end of a block collection is only noticed at the next text, after
        # blank lines and comments that do not belong to it.
        zero_width = (end.line, end.column) == (end.end_line, end.end_column)
        stop = frame.last or frame.span
        if not zero_width:
            stop = end
        span = Span(
            frame.span.line,
            frame.span.column,
            stop.end_line,
            stop.end_column,
            block=stop.block and zero_width,
        )
        node = self._table(frame) if frame.table else self._items(frame)
        self._attach(node, span)

    def _items(self, frame: _Frame) -> Items:
        return Items(tuple(frame.children), frame.place)

    def _table(self, frame: _Frame) -> Table:
        entries: dict[str, Entry] = {}
        for key, value in zip(frame.children[::2], frame.children[1::2], strict=True):
            if not isinstance(key, Scalar):
                self.problems.add(key.place, "a key must be text")
                continue
            self._check_key(key)
            first = entries.get(key.text)
            if first is not None:
                self.problems.add(
                    key.place,
                    f"`{key.text}` is given twice (first on line "
                    f"{first.key.place.line})",
                )
                continue
            entries[key.text] = Entry(key, value)
        return Table(tuple(entries.values()), frame.place)

    def _check_key(self, key: Scalar) -> None:
        if key.quoted:
            return
        if key.text == "<<":
            self.problems.add(key.place, "`<<`: tables are not merged here")
        elif not key.text:
            self.problems.add(key.place, "a key is missing before `:`")

    def _add(self, node: Node, event: yaml.Event) -> None:
        style = getattr(event, "style", None)
        self._attach(node, _span(event, block=style in _BLOCK_STYLES))

    def _attach(self, node: Node, span: Span) -> None:
        # A table in block form begins where its first key does.
        self.spans[isinstance(node, Table), node.place] = span
        if not self._frames:
            self.root = node
            return
        self._frames[-1].children.append(node)
        self._frames[-1].last = span

    def _place(self, event: yaml.Event) -> Place:
        span = _span(event)
        return Place(self.name, span.line, span.column + 1)

    def _refuse(self, event: yaml.Event, text: str) -> None:
        self.problems.add(self._place(event), text)


def _span(event: yaml.Event, *, block: bool = False) -> Span:
    start, end = event.start_mark, event.end_mark
    if start is None or end is None:
        msg = "the parser gave a piece of text without its place"
        raise MisuseError(msg)
    return Span(start.line + 1, start.column, end.line + 1, end.column, block)

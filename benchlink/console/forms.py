"""The forms in which consoles list settings, and how each takes a line apart.

A closed list. A form looks at one line and gives the cells that it holds, or None when
the line is not its own; what spans lines (headings, a value between two marks) lives in
the `Layout` that the listing carries from line to line.

    pair      one setting a line:           `  tilt.left.centre_us: 1500`
    sentence  the same, in words:           `The centre is now 1500 us.`
    row       several of one thing a line:  `tilt-L mid 1500 aft 400 fore 400`
    columns   by position:                  `tilt left centre      1500  us`
    heading   a part of the names below it: `tilt:`
    block     a value over several lines:   `note <<` ... `>>`
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Final

from benchlink.console.pieces import pieces
from benchlink.console.template import Template
from benchlink.errors import Place

NOTHING: Final[Mapping[str, str]] = {}


class Mark(Enum):
    """What a mark beside a setting says of it."""

    WRITABLE = "writable"
    READ_ONLY = "read-only"
    BOARD_OWNED = "board-owned"


@dataclass(frozen=True, slots=True, kw_only=True)
class Traits:
    """What all settings of one form have in common."""

    writable: bool = True
    board_owned: bool = False
    marks: Mapping[str, Mark] = field(default_factory=dict)
    """What the text in the field `marks` means, by its text."""
    written_by: Mapping[str, str] = field(default_factory=dict)
    """Verb that writes a value, by the value's own spelling; `*` for every other."""
    whole: Template | None = None
    """How each cell is written, where a row can only be written with all of them."""
    some: Template | None = None
    """The same, where a row may be written with those alone that change."""
    between: str = " "
    """What stands between the cells of such a row in one line."""

    @property
    def cell(self) -> str:
        """How a cell is written beside others; empty where each is written alone."""
        cell = self.whole or self.some
        return cell.source if cell else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One setting found in a listing."""

    name: str
    raw: str
    traits: Traits
    mark: Mark | None = None
    address: Mapping[str, str] = field(default_factory=dict)
    """What a line that writes it has to name: its thing, its key, its bank."""


@dataclass(slots=True)
class Layout:
    """What the lines so far mean for the next one."""

    asked: str = ""
    """Name that was asked for, where each is asked for by itself."""
    headings: list[tuple[int, str]] = field(default_factory=list)
    open_block: "Block | None" = None
    block_name: str = ""
    block_lines: list[str] = field(default_factory=list)

    def under(self, indent: int) -> tuple[str, ...]:
        """The parts of the headings above a line indented so far."""
        while self.headings and self.headings[-1][0] >= indent:
            self.headings.pop()
        return tuple(part for _, part in self.headings)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """One setting a line; also a sentence, a flag or an assignment.

    Without a `{name}` the name is the one that was asked for; `value` stands in where
    the line has no `{value}` (`p7 is free`).
    """

    template: Template
    value: str | None = None
    headed: bool = False
    """Whether the headings above are part of the name, and blanks before it are not."""
    join: str = "."
    traits: Traits = field(default_factory=Traits)

    def take(self, line: str, layout: Layout) -> tuple[Cell, ...] | None:
        """The cell of this line."""
        body = line.lstrip(" ") if self.headed else line
        fields = self.template.match(body)
        if fields is None:
            return None
        own = fields.get("name", layout.asked)
        raw = fields.get("value", self.value or "")
        if not self.headed:
            return (_cell(own, raw, self.traits, {**fields, "own": own}),)
        heads = layout.under(len(line) - len(body))
        place = {"own": own, "key": own, "thing": self.join.join(heads)}
        name = self.join.join((*heads, own))
        return (_cell(name, raw, self.traits, {**fields, **place}),)


class CellStyle(Enum):
    """How the cells of a row stand beside each other."""

    WORDS = "words"
    """`mid 1500 aft 400`: names and values in turn."""
    LETTERS = "letters"
    """`G1.20 H0.60`: a letter and its value."""
    SIGNS = "signs"
    """`+quiet-start -air-brake`: on or off by the sign."""
    PAIRS = "pairs"
    """`mid=1500, hold on=yes`: a mark within each, another between them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Several settings of one thing; the template has `{thing}` and `{cells}`."""

    template: Template
    style: CellStyle
    join: str = "."
    quote: str = ""
    between: str = " "
    equals: str = "="
    """The marks between and within the cells of a row of pairs."""
    empty: str = ""
    """What stands there instead of no cells at all."""
    absent: Mapping[str, str] = field(default_factory=dict)
    """Cells that are left out while they hold just this."""
    traits: Traits = field(default_factory=Traits)

    def take(self, line: str, layout: Layout) -> tuple[Cell, ...] | None:
        """All cells of the row, or None when it does not fall into cells."""
        fields = self.template.match(line)
        if fields is None:
            return None
        thing = fields.get("thing", layout.asked)
        pairs = self._pairs(fields["cells"])
        if pairs is None:
            return None
        listed = {key for key, _ in pairs}
        pairs += [(k, raw) for k, raw in self.absent.items() if k not in listed]
        return tuple(
            _cell(
                self.join.join(filter(None, (thing, key))),
                raw,
                self.traits,
                {**fields, "thing": thing, "own": key, **self._keys(key)},
            )
            for key, raw in pairs
        )

    def _keys(self, key: str) -> Mapping[str, str]:
        if self.style is CellStyle.LETTERS:
            return {"key": key, "letter": key}
        return {"key": key}

    def _pairs(self, text: str) -> list[tuple[str, str]] | None:
        if self.empty and text == self.empty:
            return []
        if self.style is CellStyle.PAIRS:
            return _by_marks(pieces(text, self.between, self.quote), self.equals)
        return _CUT[self.style](_words(text, self.quote))


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column; positions count from 1, `last` 0 reaches to the end of the line."""

    name: str
    first: int
    last: int = 0

    def of(self, line: str) -> str:
        """What stands in it."""
        return line[self.first - 1 : self.last or None].strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """One setting a line, by position; empty cells are empty."""

    columns: tuple[Column, ...]
    traits: Traits = field(default_factory=Traits)
    place: Place | None = field(default=None, compare=False)

    def take(self, line: str, layout: Layout) -> tuple[Cell, ...] | None:  # noqa: ARG002
        """The cell of this line; a line cut through by a column's edge is another."""
        if not self._edges_clear(line):
            return None
        fields = {column.name: column.of(line) for column in self.columns}
        if not fields.get("name"):
            return None
        own = {"own": fields["name"]}
        return (
            _cell(fields["name"], fields.get("value", ""), self.traits, fields | own),
        )

    def _edges_clear(self, line: str) -> bool:
        """Whether a blank stands before every column but the first, and in no column.

        A text that no column shows would be a part of the line that nobody read.
        """
        rest = list(line)
        for column in self.columns:
            if line[max(0, column.first - 2) : column.first - 1] not in {"", " "}:
                return False
            rest[column.first - 1 : column.last or None] = " " * len(
                rest[column.first - 1 : column.last or None]
            )
        return not "".join(rest).strip(" ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """A line that names what stands indented below it; the template has `{part}`."""

    template: Template

    def take(self, line: str, layout: Layout) -> tuple[Cell, ...] | None:
        """No cell; the heading counts for the lines below."""
        body = line.lstrip(" ")
        fields = self.template.match(body)
        if fields is None:
            return None
        indent = len(line) - len(body)
        layout.under(indent)
        layout.headings.append((indent, fields["part"]))
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A value over several lines, between an opening line and a closing one."""

    opens: Template
    closes: Template
    traits: Traits = field(default_factory=Traits)

    def take(self, line: str, layout: Layout) -> tuple[Cell, ...] | None:
        """No cell yet; the lines up to the closing one belong to it."""
        fields = self.opens.match(line)
        if fields is None:
            return None
        layout.open_block = self
        layout.block_name = fields.get("name", layout.asked)
        layout.block_lines = []
        return ()

    def go_on(self, line: str, layout: Layout) -> tuple[Cell, ...]:
        """One more line of the value, or its end."""
        if self.closes.match(line) is None:
            layout.block_lines.append(line)
            return ()
        layout.open_block = None
        name = layout.block_name
        return (_cell(name, "\n".join(layout.block_lines), self.traits, {"own": name}),)


Form = Pair | Row | Columns | Heading | Block


def _cell(name: str, raw: str, traits: Traits, fields: Mapping[str, str]) -> Cell:
    mark = traits.marks.get(fields["marks"]) if "marks" in fields else None
    address = {key: text for key, text in fields.items() if key not in _NO_ADDRESS}
    return Cell(name=name, raw=raw, traits=traits, mark=mark, address=address)


_NO_ADDRESS: Final = frozenset({"value", "cells", "marks", "anything", "name"})


def _words(text: str, quote: str) -> list[str]:
    """Cut at blanks, but not between quotes (one mark, or one before and one after)."""
    return [word for word in pieces(text, " ", quote) if word]


def _by_words(words: list[str]) -> list[tuple[str, str]] | None:
    if len(words) % 2:
        return None
    return list(zip(words[::2], words[1::2], strict=True))


def _by_letters(words: list[str]) -> list[tuple[str, str]] | None:
    pairs = [(word[:1], word[1:]) for word in words]
    return pairs if all(key.isalpha() and raw for key, raw in pairs) else None


def _by_signs(words: list[str]) -> list[tuple[str, str]] | None:
    pairs = [(word[1:], word[:1]) for word in words]
    return pairs if all(key and raw in {"+", "-"} for key, raw in pairs) else None


def _by_marks(cells: list[str], equals: str) -> list[tuple[str, str]] | None:
    pairs = [cell.partition(equals) for cell in cells]
    if not all(key.strip() == key and key and mark for key, mark, _ in pairs):
        return None
    return [(key, raw) for key, _, raw in pairs]


_CUT: Final = {
    CellStyle.WORDS: _by_words,
    CellStyle.LETTERS: _by_letters,
    CellStyle.SIGNS: _by_signs,
}

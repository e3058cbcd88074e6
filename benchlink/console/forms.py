"""The forms in which consoles list settings, and how each takes a line apart.

A closed list. A form looks at one line and gives the cells that it holds, or None when
the line is not its own; what spans lines (headings, a value between two marks) lives in
the `Layout` that the listing carries from line to line.

    pair      one setting a line:           `  tilt.left.centre_us: 1500`
    sentence  the same, in words:           `The centre is now 1500 us.`
    row       several of one thing a line:  `tilt-L mid 1500 aft 400 fore 400`
              under a line of heads:        `tilt-L 1500 400 400`
              those that are on:            `steady: left, right`
    columns   by position:                  `tilt left centre      1500  us`
              several of one thing a line:  `tilt-L   1500         400`
    heading   a part of the names below it: `tilt:`
    block     a value over several lines:   `note <<` ... `>>`
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Final

from benchlink.console.cells import THING, Cell, Layout, Traits, cell_of
from benchlink.console.columns import Columns
from benchlink.console.cutting import (
    are_names,
    blank_separated,
    by_letters,
    by_marks,
    by_signs,
    by_words,
)
from benchlink.console.pieces import pieces
from benchlink.console.template import Template


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """One setting a line; also a sentence, a flag or an assignment.

    Without a `{name}` the name is the one that was asked for, or `name`; `value` stands
    in where the line has no `{value}` (`p7 is free`).
    """

    template: Template
    name: Template | None = None
    """What the setting is called, where the line says it otherwise or not at all."""
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
        named = self.name.render(fields) if self.name else own
        own = own or named
        raw = fields.get("value", self.value or "")
        if not self.headed:
            return (cell_of(named, raw, self.traits, {**fields, "own": own}),)
        heads = layout.under(len(line) - len(body))
        place = {"own": own, "key": own, "thing": self.join.join(heads)}
        name = self.join.join((*heads, named))
        return (cell_of(name, raw, self.traits, {**fields, **place}),)


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
    VALUES = "values"
    """`1500 400 -`: values alone, in the order of the names above or in the form."""
    FLAGS = "flags"
    """`low, mist`: the names of those that are on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Several settings of one thing; the template has `{thing}` and `{cells}`."""

    template: Template
    style: CellStyle
    name: Template | None = None
    """What a setting is called; else its thing and its key."""
    keys: tuple[str, ...] = ()
    """Names of bare values in their order (`thing`: that of the row), or of all flags."""
    heads: Template | None = None
    """The line above that names the bare values, in its `{cells}`."""
    listed: str = "on"
    unlisted: str = "off"
    """What a flag holds that stands there, and one that does not."""
    join: str = "."
    quote: str = ""
    between: str = " "
    equals: str = "="
    """The marks between and within the cells of a row of pairs."""
    empty: str | None = None
    """What stands there instead of no cells at all, or of one value that is none."""
    absent: Mapping[str, str] = field(default_factory=dict)
    """Cells that are left out while they hold just this."""
    traits: Traits = field(default_factory=Traits)

    def take(self, line: str, layout: Layout) -> tuple[Cell, ...] | None:
        """All cells of the row, or None when it does not fall into cells."""
        if self.heads_in(line):
            return layout.begin_table(self, line)
        fields = self.template.match(line)
        if fields is None:
            return None
        pairs = self._pairs(fields["cells"], layout)
        if pairs is None:
            return None
        thing = fields.get("thing", layout.asked)
        if self._holds_thing(pairs):
            thing = dict(pairs).get(THING, "")
            pairs = [(key, raw) for key, raw in pairs if key != THING]
        listed = {key for key, _ in pairs}
        pairs += [(k, raw) for k, raw in self.absent.items() if k not in listed]
        place = {**fields, "thing": thing}
        return tuple(
            cell_of(
                self._named(thing, place, key),
                raw,
                self.traits,
                {**place, "own": key, **self._keys(key)},
            )
            for key, raw in pairs
        )

    def _named(self, thing: str, place: Mapping[str, str], key: str) -> str:
        if self.name is not None:
            return self.name.render({**place, "key": key})
        return self.join.join(filter(None, (thing, key)))

    def _keys(self, key: str) -> Mapping[str, str]:
        if self.style is CellStyle.LETTERS:
            return {"key": key, "letter": key}
        return {"key": key}

    def _holds_thing(self, pairs: list[tuple[str, str]]) -> bool:
        """Whether the thing is told by a cell of its row."""
        return (
            self.style is CellStyle.VALUES
            and "thing" not in self.template.fields
            and any(key == THING for key, _ in pairs)
        )

    def _pairs(self, text: str, layout: Layout) -> list[tuple[str, str]] | None:
        if self.style is CellStyle.FLAGS:
            return self._flags([] if text == self.empty else self._texts(text))
        if self.style is CellStyle.VALUES:
            return self._values(self._texts(text), layout)
        if self.empty and text == self.empty:
            return []
        if self.style is CellStyle.PAIRS:
            return by_marks(pieces(text, self.between, self.quote), self.equals)
        return _CUT[self.style](blank_separated(text, self.quote))

    def _texts(self, text: str) -> list[str]:
        """The cells as they stand there, without the blanks around them."""
        if self.between.isspace():
            return blank_separated(text, self.quote)
        found = pieces(text, self.between.strip(), self.quote) if text.strip() else []
        return [piece.strip() for piece in found]

    def _values(self, texts: list[str], layout: Layout) -> list[tuple[str, str]] | None:
        keys = self.keys
        if self.heads is not None:
            keys = self.heads_in(layout.heads_above())
        if not keys or len(texts) != len(keys):
            return None
        pairs = zip(keys, texts, strict=True)
        return [(key, raw) for key, raw in pairs if raw != self.empty]

    def heads_in(self, line: str) -> tuple[str, ...]:
        """The names in a line of heads; nothing where it is none."""
        found = self.heads.match(line) if self.heads else None
        if found is None:
            return ()
        names = self._texts(found["cells"])
        if "thing" not in self.template.fields:
            # The first column is that of the things, whatever its head calls them.
            names = [THING, *names[1:]]
        return tuple(names) if are_names(names) else ()

    def _flags(self, texts: list[str]) -> list[tuple[str, str]] | None:
        if len(set(texts)) != len(texts) or not all(texts):
            return None
        if not self.keys:
            return [(key, self.listed) for key in texts]
        if not set(texts) <= set(self.keys):
            return None
        return [(k, self.listed if k in texts else self.unlisted) for k in self.keys]


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
        return (
            cell_of(name, "\n".join(layout.block_lines), self.traits, {"own": name}),
        )


Form = Pair | Row | Columns | Heading | Block


def forms_for(forms: tuple[Form, ...], line: str) -> tuple[Form, ...]:
    """Those that may take a line: a line of heads is no row of the table before it."""
    return tuple(form for form in forms if is_heads(form, line)) or forms


def is_heads(form: Form, line: str) -> bool:
    """Whether the line names what stands below it, in this form."""
    return isinstance(form, Row | Columns) and bool(form.heads_in(line))


_CUT: Final = {
    CellStyle.WORDS: by_words,
    CellStyle.LETTERS: by_letters,
    CellStyle.SIGNS: by_signs,
}

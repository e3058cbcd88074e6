"""Settings that are told apart by the columns in which they stand."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from benchlink.console.cells import THING, Cell, Layout, Traits, cell_of
from benchlink.console.cutting import are_names, below_heads
from benchlink.console.template import Template
from benchlink.errors import Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column; positions count from 1, `last` 0 reaches to the end of the line."""

    name: str
    first: int
    last: int = 0
    is_setting: bool = False
    """Whether it holds a setting of its name; else it tells something of the line."""
    traits: Traits | None = None
    """Of that setting, where they are not those of the form."""

    def of(self, line: str) -> str:
        """What stands in it."""
        return line[self.first - 1 : self.last or None].strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """Settings by position, one a line or several of one thing; empty cells are empty."""

    columns: tuple[Column, ...]
    name: Template | None = None
    """What a setting is called; else its thing and its key."""
    join: str = "."
    heads: Template | None = None
    """The line above that tells the columns, where the form does not."""
    to_the_right: bool = False
    """Whether what stands below a head ends where it ends; else both begin together."""
    empty: str | None = None
    """What stands where a thing has no such setting."""
    traits: Traits = field(default_factory=Traits)
    place: Place | None = field(default=None, compare=False)

    def take(self, line: str, layout: Layout) -> tuple[Cell, ...] | None:
        """The cells of this line; a line cut through by a column's edge is another."""
        if self.heads_in(line):
            return layout.begin_table(self, line)
        columns = self.columns or self.heads_in(layout.heads_above())
        if not columns or not _edges_clear(columns, line):
            return None
        fields = {c.name: c.of(line) for c in columns if not c.is_setting}
        if any(column.is_setting for column in columns):
            return self._several(columns, fields, line)
        if not fields.get("name"):
            return None
        named = self.name.render(fields) if self.name else fields["name"]
        own = {"own": fields["name"]}
        return (cell_of(named, fields.get("value", ""), self.traits, fields | own),)

    def _several(
        self, columns: tuple[Column, ...], fields: Mapping[str, str], line: str
    ) -> tuple[Cell, ...] | None:
        """Each column of settings is one of the thing that the line is about."""
        if not fields.get("thing"):
            return None
        cells = ((c, c.of(line)) for c in columns if c.is_setting)
        return tuple(
            cell_of(
                self._named(fields, column.name),
                raw,
                column.traits or self.traits,
                {**fields, "own": column.name, "key": column.name},
            )
            for column, raw in cells
            if raw != self.empty
        )

    def _named(self, fields: Mapping[str, str], key: str) -> str:
        if self.name is not None:
            return self.name.render({**fields, "key": key})
        return self.join.join((fields["thing"], key))

    def heads_in(self, line: str) -> tuple[Column, ...]:
        """The columns that a line of heads tells; the first is that of the things."""
        if self.heads is None or self.heads.match(line) is None:
            return ()
        spans = below_heads(line, to_the_right=self.to_the_right)
        if not are_names([name for name, _, _ in spans]):
            return ()
        return tuple(
            Column(name=name, first=first, last=last, is_setting=True)
            if index
            else Column(name=THING, first=first, last=last)
            for index, (name, first, last) in enumerate(spans)
        )


def _edges_clear(columns: tuple[Column, ...], line: str) -> bool:
    """Whether a blank stands before every column but the first, and in no column.

    A text that no column shows would be a part of the line that nobody read.
    """
    rest = list(line)
    for column in columns:
        if line[max(0, column.first - 2) : column.first - 1] not in {"", " "}:
            return False
        rest[column.first - 1 : column.last or None] = " " * len(
            rest[column.first - 1 : column.last or None]
        )
    return not "".join(rest).strip(" ")

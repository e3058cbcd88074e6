"""A setting found in a listing, and what the lines so far mean for the next one."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING, Final

from benchlink.console.template import Template

if TYPE_CHECKING:
    from benchlink.console.columns import Columns
    from benchlink.console.forms import Block, Row

THING: Final = "thing"
"""The key of the cell that names the thing whose settings stand beside it."""


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
    read_by: str = ""
    """Verb that reads one of them; empty for the one called `read`."""
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
    table: "Row | Columns | None" = None
    """The form whose line of heads came last."""
    heads: str = ""
    """That line."""
    has_rows: bool = False
    """Whether a row stood below it."""

    def begin_table(self, form: "Row | Columns", heads: str) -> tuple[Cell, ...] | None:
        """Note a line of heads, which holds no cell itself.

        Right below other heads it is none: a row that looks like one, nobody read.
        """
        if self.table is form and heads != self.heads and not self.has_rows:
            return None
        self.table, self.heads, self.has_rows = form, heads, False
        return ()

    def heads_above(self) -> str:
        """The line of heads above a row."""
        self.has_rows = True
        return self.heads

    def under(self, indent: int) -> tuple[str, ...]:
        """The parts of the headings above a line indented so far."""
        while self.headings and self.headings[-1][0] >= indent:
            self.headings.pop()
        return tuple(part for _, part in self.headings)


def cell_of(name: str, raw: str, traits: Traits, fields: Mapping[str, str]) -> Cell:
    """A cell with what its line tells beside the value."""
    mark = traits.marks.get(fields["marks"]) if "marks" in fields else None
    address = {key: text for key, text in fields.items() if key not in _NO_ADDRESS}
    return Cell(name=name, raw=raw, traits=traits, mark=mark, address=address)


_NO_ADDRESS: Final = frozenset({"value", "cells", "marks", "anything", "name"})

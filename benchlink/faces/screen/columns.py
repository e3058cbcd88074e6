"""How a row is laid out in columns for a given width."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from rich.cells import cell_len, set_cell_size

from benchlink.faces.screen.marks import MARKS

if TYPE_CHECKING:
    from benchlink.faces.screen.rows import Row
    from benchlink.faces.screen.sheet import Piece

CUT: Final = ".."
"""Ends a text that did not fit; the detail lines show it whole."""

STATE_CELLS: Final = max(len(f"{m.value.shape} {m.value.word}") for m in MARKS)
OWNER_CELLS: Final = 8
OWNER_FROM: Final = 72
"""Narrower rows leave the owner to the detail lines."""
REASON_FROM: Final = 112
"""Wider rows tell the reason as well."""
NAME_MOST: Final = 44
VALUE_LEAST: Final = 6
VALUE_MOST: Final = 22


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """Widths in cells; a column of width 0 is left out."""

    name: int
    now: int
    wanted: int
    state: int
    owner: int
    reason: int


def columns(width: int, *, compared: bool) -> Columns:
    """Share out a row's width; without a profile there is nothing wanted."""
    state = STATE_CELLS
    owner = OWNER_CELLS if width >= OWNER_FROM else 0
    gaps = 2 + compared + bool(owner)
    free = width - state - owner - gaps
    wide = width >= REASON_FROM
    share = 6 if wide else 4 if owner else 5
    value = min(VALUE_MOST, max(VALUE_LEAST, free // share))
    values = value * (2 if compared else 1)
    name = min(NAME_MOST, free * 3 // 8) if wide else free - values
    reason = free - name - values - 1 if wide else 0
    return Columns(
        name=name,
        now=value,
        wanted=value if compared else 0,
        state=state,
        owner=owner,
        reason=reason,
    )


def fitted(text: str, width: int) -> str:
    """The text in exactly `width` cells, with `CUT` where something is missing."""
    if cell_len(text) <= width:
        return set_cell_size(text, width)
    if width <= len(CUT):
        return set_cell_size(text, width)
    return set_cell_size(text, width - len(CUT)) + CUT


def heads(layout: Columns) -> str:
    """The line above the rows."""
    return _joined(layout, ("name", "now", "wanted", "state", "owner", "reason"))


def pieces(row: "Row", layout: Columns) -> "list[Piece]":
    """One row, its state in its own style."""
    look = row.mark.value
    before = _joined(layout, (row.name, row.now, row.wanted))
    after = _joined(layout, ("", "", "", "", row.owner, row.reason or row.trouble), 4)
    state = fitted(f"{look.shape} {look.word}", layout.state)
    return [(f"{before} ", ""), (state, look.style), (f" {after}", "")]


def _joined(layout: Columns, texts: tuple[str, ...], start: int = 0) -> str:
    widths = (
        layout.name,
        layout.now,
        layout.wanted,
        layout.state,
        layout.owner,
        layout.reason,
    )
    pairs = zip(texts[start:], widths[start:], strict=False)
    return " ".join(fitted(text, width) for text, width in pairs if width)

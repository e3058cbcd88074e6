"""How a row is laid out in columns for a given width."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from benchlink.faces.screen.frame.fitting import fitted
from benchlink.faces.screen.frame.marks import MARKS

if TYPE_CHECKING:
    from benchlink.faces.screen.frame.sheet import Piece
    from benchlink.faces.screen.threads.rows import Row

STATE_CELLS: Final = max(len(f"{m.value.shape} {m.value.word}") for m in MARKS)
SHORT_STATE_CELLS: Final = len("== as intended")
"""Shorter than the longest, which no setting is in."""
WHOLE_STATE_FROM: Final = 72
COPY_FROM: Final = 64
"""Narrower rows leave the copy to the detail lines."""
OWNER_CELLS: Final = 9
MARK_CELLS: Final = 5
OWNER_FROM: Final = 100
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
    copy: int
    state: int
    mark: int
    owner: int
    reason: int

    @property
    def before(self) -> tuple[int, ...]:
        """What stands in front of the state."""
        return (self.name, self.now, self.wanted, self.copy)

    @property
    def after(self) -> tuple[int, ...]:
        """What stands behind it."""
        return (self.mark, self.owner, self.reason)


def columns(width: int, *, compared: bool, copied: bool) -> Columns:
    """Share out a row's width.

    Without a profile nothing is wanted and nothing marked; without a copy there is none.
    """
    copied = copied and width >= COPY_FROM
    values = 1 + compared + copied
    state = STATE_CELLS if width >= WHOLE_STATE_FROM else SHORT_STATE_CELLS
    mark = MARK_CELLS if compared else 0
    owner = OWNER_CELLS if width >= OWNER_FROM else 0
    gaps = values + 1 + bool(mark) + bool(owner)
    free = width - state - mark - owner - gaps
    wide = width >= REASON_FROM
    share = values + (5 if wide else 2 if width >= WHOLE_STATE_FROM else 3)
    value = min(VALUE_MOST, max(VALUE_LEAST, free // share))
    name = min(NAME_MOST, free * 3 // 8) if wide else free - value * values
    return Columns(
        name=name,
        now=value,
        wanted=value if compared else 0,
        copy=value if copied else 0,
        state=state,
        mark=mark,
        owner=owner,
        reason=free - name - value * values - 1 if wide else 0,
    )


def heads(layout: Columns) -> str:
    """The line above the rows."""
    before = _joined(("name", "now", "wanted", "copy"), layout.before)
    after = _joined(("mark", "owner", "reason"), layout.after)
    return f"{before} {fitted('state', layout.state)} {after}"


def pieces(row: "Row", layout: Columns, mark: str) -> "list[Piece]":
    """One row, its state in its own style; `mark` is the person's."""
    look = row.mark.value
    before = _joined((row.name, row.now, row.wanted, row.copy), layout.before)
    owner = row.owner.value if row.owner else ""
    after = _joined((mark, owner, row.reason or row.trouble), layout.after)
    state = fitted(f"{look.shape} {look.word}", layout.state)
    return [(f"{before} ", ""), (state, look.style), (f" {after}", "")]


def _joined(texts: tuple[str, ...], widths: tuple[int, ...]) -> str:
    pairs = zip(texts, widths, strict=True)
    return " ".join(fitted(text, width) for text, width in pairs if width)

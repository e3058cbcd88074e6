"""What every scene is made of: a head, large figures over their captions, keys, a frame."""

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING, Final

from benchlink.faces.screen.frame.safe_text import plain
from benchlink.faces.screen.frame.wording import ends
from benchlink.faces.screen.station.big_figures import SMALL_LINES, large, small

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from benchlink.core.scene import SceneKey


Line = list[tuple[str, str]]
"""One line of the screen: texts and their styles, in rich's words for styles."""


class Form(Enum):
    """How much room there is; the value is the most lines that a scene takes."""

    LOW = 5
    USUAL = 9
    TALL = 20


USUAL_FROM: Final = (76, 22)
TALL_FROM: Final = (100, 36)
"""Columns and lines of the window."""

BOLD, LOUD, DIM = "bold", "bold reverse", "dim"
FRAME: Final = 3
"""Cells at either side."""
LEAST_GAP: Final = 2
KEY_GAP: Final = "   "


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A few large characters and what they are."""

    text: str
    caption: str
    live: bool = True
    """Whether it changes while somebody looks; such a one is drawn larger."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """What stands at the two sides of every line; the shape tells the state."""

    left: str = "   "
    right: str = "   "
    style: str = ""


def form_for(columns: int, lines: int) -> Form:
    """The largest form that leaves room for the words below it."""
    if columns >= TALL_FROM[0] and lines >= TALL_FROM[1]:
        return Form.TALL
    if columns >= USUAL_FROM[0] and lines >= USUAL_FROM[1]:
        return Form.USUAL
    return Form.LOW


def head(left: str, right: str, width: int, style: str) -> Line:
    """What this is and what is asked, and on the right how it stands."""
    return [(ends(plain(left), plain(right), width), style)]


def figure_lines(figures: "Sequence[Figure]", width: int, form: Form) -> list[Line]:
    """The figures side by side, and their captions below."""
    tall = form is Form.TALL
    drawn = [large(f.text) if tall and f.live else small(f.text) for f in figures]
    if sum(_needs(figures, drawn)) > width:
        drawn = [small(figure.text) for figure in figures]
    columns = _columns(figures, drawn, width)
    lines = max(map(len, drawn), default=SMALL_LINES)
    rows = [_row(drawn, columns, at - lines) for at in range(lines)]
    captions = [
        _fitted(f.caption, cells) for f, cells in zip(figures, columns, strict=True)
    ]
    return [*([(row, BOLD)] for row in rows), [("".join(captions), BOLD)]]


def figure_words(figures: "Sequence[Figure]") -> str:
    """The same as one line of text, where there is no room for more."""
    return KEY_GAP.join(f"{figure.text} {figure.caption}" for figure in figures)


def key_lines(keys: "Sequence[SceneKey]", width: int) -> list[Line]:
    """The keys and what they do now, in as many lines as they need."""
    lines: list[Line] = []
    room = 0
    for key in keys:
        name, does = f"[{key.key}]", f" {key.does}"
        cells = len(name) + len(does)
        if not lines or cells + len(KEY_GAP) > room:
            lines.append([])
            room = width
        else:
            lines[-1].append((KEY_GAP, ""))
            room -= len(KEY_GAP)
        lines[-1] += [(name, LOUD), (does, BOLD)]
        room -= cells
    return lines


def wrapped(
    texts: "Iterable[str]", gap: str, width: int, style: str = ""
) -> list[Line]:
    """Short texts one behind the other, none of them broken in the middle."""
    lines: list[Line] = []
    told = ""
    for text in texts:
        longer = f"{told}{gap}{text}" if told else text
        if told and len(longer) > width:
            lines.append([(told, style)])
            longer = text
        told = longer
    return [*lines, [(told, style)]]


def framed(lines: list[Line], width: int, frame: Frame) -> list[Line]:
    """Every line between the two sides of the frame, filled up to the width."""
    within = width - 2 * FRAME
    return [
        [(frame.left, frame.style), *_filled(line, within), (frame.right, frame.style)]
        for line in lines
    ]


def _filled(line: Line, width: int) -> Line:
    room, pieces = width, list[tuple[str, str]]()
    for text, style in line:
        cut = text[:room]
        pieces.append((cut, style))
        room -= len(cut)
    return [*pieces, (" " * room, "")]


def _columns(
    figures: "Sequence[Figure]", drawn: "Sequence[tuple[str, ...]]", width: int
) -> list[int]:
    """Cells of each column: what it needs, and an equal share of what is left."""
    needs = _needs(figures, drawn)
    spare = max(0, width - sum(needs)) // max(1, len(needs))
    return [need + spare for need in needs]


def _needs(
    figures: "Sequence[Figure]", drawn: "Sequence[tuple[str, ...]]"
) -> list[int]:
    return [
        max(_cells(rows), len(figure.caption)) + LEAST_GAP
        for figure, rows in zip(figures, drawn, strict=True)
    ]


def _row(drawn: "Sequence[tuple[str, ...]]", columns: "Sequence[int]", at: int) -> str:
    """One row of all figures, counted from their common foot (-1 is the lowest)."""
    return "".join(
        _fitted(rows[at] if -at <= len(rows) else "", cells)
        for rows, cells in zip(drawn, columns, strict=True)
    )


def _fitted(text: str, cells: int) -> str:
    return text[:cells].ljust(cells)


def _cells(rows: tuple[str, ...]) -> int:
    return len(rows[0])

"""The printed table and the exit code."""

from collections.abc import Iterable, Sequence
from typing import Final

from tests.bench.rows import Row, Verdict

ALL_MET: Final = 0
SOME_MISSED: Final = 1

HEADINGS: Final = Row(what="what", measured="measured", target="target")
GAP: Final = "  "


def table(rows: Sequence[Row]) -> str:
    """All rows under their headings, each column as wide as it must be."""
    cells = [_cells(row) for row in rows]
    heading = (*_cells(HEADINGS)[:-1], "verdict")
    widths = [max(map(len, column)) for column in zip(heading, *cells, strict=True)]
    ruler = tuple("-" * width for width in widths)
    return "\n".join(_line(line, widths) for line in (heading, ruler, *cells))


def summary(rows: Sequence[Row]) -> str:
    """How many targets were met, in one sentence."""
    counts = {v: sum(row.verdict is v for row in rows) for v in Verdict}
    judged = len(rows) - counts[Verdict.SHOWN]
    return f"{counts[Verdict.MET]} of {judged} targets met."


def exit_code(rows: Iterable[Row]) -> int:
    """1 when a target was missed or could not be measured."""
    missed = {Verdict.MISSED, Verdict.NOT_MEASURED}
    return SOME_MISSED if any(row.verdict in missed for row in rows) else ALL_MET


def _cells(row: Row) -> tuple[str, str, str, str]:
    return row.what, row.measured, row.target, row.verdict.value


def _line(cells: Sequence[str], widths: Sequence[int]) -> str:
    padded = (cell.ljust(width) for cell, width in zip(cells, widths, strict=True))
    return GAP.join(padded).rstrip()

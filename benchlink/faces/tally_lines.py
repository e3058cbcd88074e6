"""Owners and states as a table of counts, in words, only what has anything."""

import textwrap
from typing import Final

from benchlink.core.tally import Tally

NONE: Final = "-"
GAPS: Final = ("  ", " ")
"""Between columns: the wider one where it fits."""


def tally_lines(tally: Tally, width: int) -> list[str]:
    """One line for each owner, one column for each state; sentences where it is narrow."""
    for gap in GAPS:
        lines = _table(tally, gap)
        if all(len(line) <= width for line in lines):
            return lines
    return _sentences(tally, width)


def _table(tally: Tally, gap: str) -> list[str]:
    owners, states = tally.owners, tally.states
    if not owners:
        return []
    first = max(len(owner.value) for owner in owners)
    head = [" " * first, *(state.value for state in states)]
    rows = [
        [
            f"{owner.value:<{first}}",
            *(f"{tally.of(owner, s) or NONE:>{len(s.value)}}" for s in states),
        ]
        for owner in owners
    ]
    return [gap + gap.join(cells) for cells in (head, *rows)]


def _sentences(tally: Tally, width: int) -> list[str]:
    lines: list[str] = []
    for owner in tally.owners:
        counts = [(s.value, tally.of(owner, s)) for s in tally.states]
        told = ", ".join(f"{count} {word}" for word, count in counts if count)
        lines += textwrap.wrap(
            f"  {owner.value}: {told}", width, subsequent_indent="    "
        )
    return lines

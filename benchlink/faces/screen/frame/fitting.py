"""A text in exactly so many cells."""

from typing import Final

from rich.cells import cell_len, set_cell_size

CUT: Final = ".."
"""Ends a text that did not fit; the detail lines show it whole."""


def fitted(text: str, width: int) -> str:
    """The text in exactly `width` cells, with `CUT` where something is missing."""
    if cell_len(text) <= width:
        return set_cell_size(text, width)
    if width <= len(CUT):
        return set_cell_size(text, width)
    return set_cell_size(text, width - len(CUT)) + CUT

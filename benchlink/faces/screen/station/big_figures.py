"""Figures and a few letters that are read from across the bench, out of block characters.

Each stands on a grid five dots high. Small ones put two dots above each other into one
cell and are three lines high; large ones are five lines high, a dot being two cells wide.
"""

from itertools import zip_longest
from typing import Final

GRIDS: Final = {
    "0": "111 101 101 101 111",
    "1": "010 110 010 010 111",
    "2": "111 001 111 100 111",
    "3": "111 001 111 001 111",
    "4": "101 101 111 001 001",
    "5": "111 100 111 001 111",
    "6": "111 100 111 101 111",
    "7": "111 001 001 001 001",
    "8": "111 101 111 101 111",
    "9": "111 101 111 001 111",
    ".": "0 0 0 0 1",
    "-": "000 000 111 000 000",
    "%": "101 001 010 100 101",
    " ": "00 00 00 00 00",
    "D": "110 101 101 101 110",
    "E": "111 100 111 100 111",
    "G": "1111 1000 1011 1001 1111",
    "I": "1 1 1 1 1",
    "K": "101 101 110 101 101",
    "N": "1001 1101 1011 1001 1001",
    "O": "111 101 101 101 111",
    "P": "111 101 111 100 100",
    "R": "110 101 110 101 101",
    "S": "111 100 111 001 111",
    "T": "111 010 010 010 010",
    "U": "101 101 101 101 111",
    "W": "10001 10001 10101 10101 01010",
}
HALVES: Final = {
    ("0", "0"): " ",
    ("1", "0"): "\N{UPPER HALF BLOCK}",
    ("0", "1"): "\N{LOWER HALF BLOCK}",
    ("1", "1"): "\N{FULL BLOCK}",
}
SMALL_LINES: Final = 3


def small(text: str) -> tuple[str, ...]:
    """Three lines."""
    rows = _rows(text)
    pairs = zip_longest(rows[::2], rows[1::2], fillvalue="0" * len(rows[0]))
    return tuple(
        "".join(HALVES[dots] for dots in zip(upper, lower, strict=True))
        for upper, lower in pairs
    )


def large(text: str) -> tuple[str, ...]:
    """Five lines."""
    return tuple(
        "".join("\N{FULL BLOCK}" * 2 if dot == "1" else "  " for dot in row)
        for row in _rows(text)
    )


def _rows(text: str) -> tuple[str, ...]:
    """Five rows of dots, a column of none between two figures."""
    grids = [GRIDS[char].split() for char in text]
    return tuple("0".join(row) for row in zip(*grids, strict=True))

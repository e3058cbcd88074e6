"""How the cells of one line are parted, and where the columns below a head begin."""

import re
from collections.abc import Sequence
from typing import Final

from benchlink.console.pieces import pieces
from benchlink.core.values import decimal_or_none

_WORD: Final = re.compile(r"[^ ]+")


def blank_separated(text: str, quote: str) -> list[str]:
    """Cut at blanks, but not between quotes (one mark, or one before and one after)."""
    return [word for word in pieces(text, " ", quote) if word]


def by_words(words: list[str]) -> list[tuple[str, str]] | None:
    """`mid 1500 aft 400`: names and values in turn."""
    if len(words) % 2:
        return None
    return list(zip(words[::2], words[1::2], strict=True))


def by_letters(words: list[str]) -> list[tuple[str, str]] | None:
    """`G1.20 H0.60`: a letter and its value."""
    pairs = [(word[:1], word[1:]) for word in words]
    return pairs if all(key.isalpha() and raw for key, raw in pairs) else None


def by_signs(words: list[str]) -> list[tuple[str, str]] | None:
    """`+quiet-start -air-brake`: on or off by the sign."""
    pairs = [(word[1:], word[:1]) for word in words]
    return pairs if all(key and raw in {"+", "-"} for key, raw in pairs) else None


def by_marks(cells: list[str], equals: str) -> list[tuple[str, str]] | None:
    """`mid=1500`: a mark within each."""
    pairs = [cell.partition(equals) for cell in cells]
    if not all(key.strip() == key and key and mark for key, mark, _ in pairs):
        return None
    return [(key, raw) for key, _, raw in pairs]


def are_names(texts: Sequence[str]) -> bool:
    """Whether these can be heads: each is there once, and none is a number."""
    distinct = len(set(texts)) == len(texts)
    return distinct and all(text and decimal_or_none(text) is None for text in texts)


def below_heads(line: str, *, to_the_right: bool) -> tuple[tuple[str, int, int], ...]:
    """Each head with the first and last place below it, from 1; last 0 has no end.

    What stands below a head begins where it begins, or ends where it ends
    (`to_the_right`); one blank at least parts it from its neighbour.
    """
    words = list(_WORD.finditer(line))
    firsts = [word.start() + 1 for word in words]
    lasts = [first - 2 for first in firsts[1:]] + [0]
    if to_the_right:
        lasts = [word.end() for word in words]
        firsts = [1] + [last + 2 for last in lasts[:-1]]
    elif firsts:
        firsts[0] = 1
    names = (word.group() for word in words)
    return tuple(zip(names, firsts, lasts, strict=False))

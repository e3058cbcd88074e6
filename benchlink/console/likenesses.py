"""All spellings of a command that a console takes for the same, as one expression."""

import re
from collections.abc import Iterable, Iterator
from typing import Final

from benchlink.console.hazard_rules import HazardRules, LineKind
from benchlink.console.statements import shape_of
from benchlink.console.template import Shape

SHORT_FORM: Final = 4
"""Letters of a short form; one less where the last is a vowel (SCPI-1999, 6.2.1)."""
SHORTEST_FORM: Final = 3
VOWELS: Final = frozenset("AEIOU")
NEVER: Final = re.compile(r"(?!)")
ANYTHING: Final = ".+"
ONE_COMMAND: Final = "[^;&|]+"
"""No mark that parts commands on some console or other, whether declared or not."""
GLOB: Final = {"*": ".*", "?": "."}
SHAPED: Final = {
    Shape.ANY: ".*",
    Shape.UNBROKEN: "[^ ]+",
    Shape.DIGITS: "[0-9]+",
    Shape.LETTER: "[A-Za-z]",
}

_TOKEN: Final = re.compile(r"[A-Za-z]+|.", re.DOTALL)


def any_of(sources: Iterable[str], rules: HazardRules) -> re.Pattern[str]:
    """One expression for several; none at all takes nothing."""
    found = dict.fromkeys(sources)
    flags = re.IGNORECASE if rules.ignores_case else 0
    return re.compile("|".join(f"(?:{s})" for s in found), flags) if found else NEVER


def exactly(command: str, rules: HazardRules, field: str = ANYTHING) -> str:
    """The command, in every spelling that surely means it."""
    return "".join(
        _long_or_short(text, rules)
        if text.isalpha() and text.isascii()
        else _one(text, field=field)
        for text in _TOKEN.findall(command)
    )


def loosely(command: str, rules: HazardRules, *, globs: bool = False) -> str:
    """The command also cut short, or with more behind it."""
    parts = (
        _cut_short(text, rules)
        if text.isalpha() and text.isascii()
        else _one(text, globs=globs)
        for text in _TOKEN.findall(command)
    )
    return f"{''.join(parts)}(?:(?![A-Za-z_]).*)?"


def _one(text: str, *, globs: bool = False, field: str = ANYTHING) -> str:
    shape = shape_of(text)
    if shape is not None:
        return SHAPED.get(shape, field)
    return GLOB.get(text, re.escape(text)) if globs else re.escape(text)


def _long_or_short(word: str, rules: HazardRules) -> str:
    if rules.kind is not LineKind.MESSAGE:
        return word
    return f"(?:{'|'.join(dict.fromkeys((word, *_short(word))))})"


def _short(word: str) -> Iterator[str]:
    """The capitals of a word in two cases, or else what the standard makes of it."""
    if not word.isupper() and not word.islower():
        yield "".join(char for char in word if char.isupper())
    elif len(word) > SHORT_FORM:
        vowel = word[SHORT_FORM - 1].upper() in VOWELS
        yield word[: SHORT_FORM - vowel]


def _cut_short(word: str, rules: HazardRules) -> str:
    least = SHORTEST_FORM if rules.kind is LineKind.MESSAGE else rules.shortest
    if not least or least >= len(word):
        return word
    rest = ""
    for char in reversed(word[least:]):
        rest = f"(?:{char}{rest})?"
    return word[:least] + rest

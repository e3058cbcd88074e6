"""Which lines of a console write settings, by their words."""

import re
from dataclasses import dataclass
from functools import cache
from typing import Final

from .generated import pattern
from .generated_plan import Writing, draw
from .options import ConsoleKind

_WRITES: Final = {
    ConsoleKind.WADER: r"(^|;)\s*let ",
    ConsoleKind.DUNLIN: r"^\s*(lay|wear|shed) |^>>$",
    ConsoleKind.KNOT: (
        r"^\s*(?!(tell|hold|turn-off-on|name\?|able\?|lamp|halt)( |$))"
        r"\S+ +\S+ +\S"
    ),
    ConsoleKind.TURNSTONE: r"^\s*(put|carry|free) ",
    ConsoleKind.SCOTER: r"(^|;)\s*:?(?!DISP)[A-Z][A-Z0-9_:]*\s+[^\s;]",
    ConsoleKind.AVOCET: r"\+(?!LAMP=)[A-Z][A-Z0-9]*=(?!\?)",
}


def is_write(console: ConsoleKind, seed: int, line: str) -> bool:
    """Whether a line, or what has come of it so far, writes a setting."""
    if console is ConsoleKind.GENERATED:
        return _generated(seed, line.strip(" "))
    return re.search(_WRITES[console], line, re.IGNORECASE) is not None


def _generated(seed: int, line: str) -> bool:
    words = _words(seed)
    if line in words.others or line.startswith(f"{words.others[0]} "):
        return False
    return words.writes.fullmatch(line) is not None


@dataclass(frozen=True, slots=True)
class _Words:
    others: tuple[str, ...]
    """What writes nothing, the lamp first."""
    writes: re.Pattern[str]


@cache
def _words(seed: int) -> _Words:
    plan = draw(seed)
    words = plan.statement
    others = [word for verb, word in plan.verbs.items() if verb != "write"]
    writes = pattern(plan.write)
    match plan.writing:
        case Writing.ONE_LINE:
            pass
        case Writing.LETTERS:
            writes = re.compile(rf"{re.escape(words.letters)} .*")
        case Writing.STATEMENT | Writing.WHOLE_STATEMENT:
            # a line inside cannot be told from a question by its words alone
            opening = re.escape(words.opening).replace(r"\{thing\}", ".+")
            inside = rf"\S+{re.escape(words.between)}.*"
            asked = f"(?!{pattern(plan.read).pattern.replace('?P<name>', '?:')}$)"
            closing = re.escape(words.closing)
            writes = re.compile(f"{opening}|{closing}|{asked}{inside}")
    return _Words((plan.verbs["lamp"], *others), writes)

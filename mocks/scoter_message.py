"""Program messages of IEEE 488.2: units, headers and data elements."""

import re
from dataclasses import dataclass
from typing import Final

from .scoter_spelling import ScpiError

_UNIT: Final = re.compile(
    r"(?P<header>\*[A-Za-z]+|:?[A-Za-z][A-Za-z0-9_]*(?::[A-Za-z][A-Za-z0-9_]*)*)"
    r"(?P<query>\??)(?:[ ]+(?P<data>.*))?"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One program message unit."""

    header: str
    """As sent, without the question mark."""
    query: bool
    data: tuple[str, ...]


def units(message: str) -> list[str]:
    """Cut a message at its semicolons; those inside a string part nothing."""
    return [unit for part in cut(message, ";") if (unit := part.strip(" "))]


def parse(text: str) -> Unit:
    """Take a unit apart. Raises `ScpiError` -102."""
    parts = _UNIT.fullmatch(text)
    if parts is None:
        raise ScpiError(-102)
    data = parts["data"]
    elements = () if data is None else tuple(e.strip(" ") for e in cut(data, ","))
    if data is not None and not all(elements):
        raise ScpiError(-102)
    return Unit(header=parts["header"], query=bool(parts["query"]), data=elements)


def cut(text: str, at: str) -> list[str]:
    """Cut at a character outside double quotes."""
    parts = [""]
    inside = False
    for character in text:
        inside ^= character == '"'
        if character == at and not inside:
            parts.append("")
        else:
            parts[-1] += character
    return parts

"""Cutting a line into the commands that a console finds in it.

A template is cut by the same rules: each of its fields stands as one character of a
private range, which no line to a board can hold.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Final, final

from benchlink.console.codec import Codec
from benchlink.console.hazard_rules import HazardRules, LineKind
from benchlink.console.pieces import pieces
from benchlink.console.template import Blanks, Field, Literal, Shape, Template

FIELDS_FROM: Final = 0xE000
MOST_FIELDS: Final = 64
"""Of one template; each stands as a character that tells its shape and its place."""
SHAPES: Final = tuple(Shape)
BODY: Final = "AT"
"""What a command line begins with (V.250, 5.2.1): both letters of one case."""

_BEGINS: Final = re.compile("at", re.IGNORECASE)
_BASIC: Final = re.compile(r"(&?[A-Z])([0-9]*)")
_REGISTER: Final = re.compile("S[0-9]+(?:[?]|=[?]|=[0-9\ue000-\uf8ff]*)")
_OUTSIDE: Final = re.compile(r'"[^"]*"?|[^" ]+| +')
_UPTO: Final = re.compile(r'(?:"[^"]*"|[^;"])*')

Readings = tuple[str, ...]
"""One command, in every way in which a board may read it."""


def in_characters(template: Template) -> str:
    """A template as a line: each field as one character."""
    at = 0
    line = ""
    for part in template.parts:
        match part:
            case Literal(text):
                line += text
            case Blanks():
                line += " "
            case Field(_, shape):
                line += chr(FIELDS_FROM + SHAPES.index(shape) * MOST_FIELDS + at)
                at = (at + 1) % MOST_FIELDS
    return line


def shape_of(character: str) -> Shape | None:
    """The shape of the field that a character stands for, if it stands for one."""
    at = (ord(character) - FIELDS_FROM) // MOST_FIELDS
    return SHAPES[at] if 0 <= at < len(SHAPES) else None


def place_of(character: str) -> int:
    """Which field of its template a character stands for."""
    return (ord(character) - FIELDS_FROM) % MOST_FIELDS


@final
class Cutter:
    """Finds the commands of a line."""

    def __init__(self, rules: HazardRules, base: Codec) -> None:
        self._rules: Final = rules
        self._base: Final = base
        self._quote: Final = base.quote or (
            '"' if rules.kind is not LineKind.PLAIN else ""
        )
        hides = bool(self._quote) and rules.separator not in base.reserved
        self._hiding: Final = self._quote if hides else ""
        self._cut: Final = _KINDS[rules.kind]

    def cut(self, line: str) -> tuple[tuple[Readings, ...], bool]:
        """The commands of a line, and whether it was clear where each ends."""
        return self._cut(self, line)

    def _plain(self, line: str) -> tuple[tuple[Readings, ...], bool]:
        parts, clear = self._parted(line)
        words = (" ".join(part.split()) for part in parts)
        return tuple((text,) for text in words if text), clear

    def _message(self, line: str) -> tuple[tuple[Readings, ...], bool]:
        parts, clear = self._parted(line)
        return tuple(_rooted(parts)), clear

    def _command_line(self, line: str) -> tuple[tuple[Readings, ...], bool]:
        text = line.strip(" ")
        if not text:
            return (), True
        begins = _BEGINS.search(text)
        if begins is None:
            return ((text,),), False
        clear = begins.start() == 0 and begins[0] in {BODY, BODY.lower()}
        found = tuple((text,) for text in _commands(_squeezed(text[begins.end() :])))
        return found, clear and text.count('"') % 2 == 0

    def _parted(self, line: str) -> tuple[list[str], bool]:
        rules = self._rules
        if rules.comment and rules.comment in line:
            line = self._pieces(line, rules.comment, self._quote)[0]
        if not rules.separator or rules.separator not in line:
            return [line], True
        parts = self._pieces(line, rules.separator, self._hiding)
        # A quote that is never closed hides what may not be hidden for the board.
        closed = self._pieces(
            f"{line}{rules.separator}.", rules.separator, self._hiding
        )
        if len(closed) == len(parts):
            return line.split(rules.separator), False
        return parts, True

    def _pieces(self, line: str, mark: str, quote: str) -> list[str]:
        return pieces(line, mark, quote, self._base.escape)


_KINDS: Final[
    Mapping[LineKind, Callable[[Cutter, str], tuple[tuple[Readings, ...], bool]]]
] = {
    # The table stands outside the class whose private ways it names.
    LineKind.PLAIN: Cutter._plain,  # noqa: SLF001
    LineKind.MESSAGE: Cutter._message,  # noqa: SLF001
    LineKind.COMMAND_LINE: Cutter._command_line,  # noqa: SLF001
}


def _rooted(parts: list[str]) -> Iterator[Readings]:
    """Each unit with its whole header; one without a colon goes on from the last."""
    path = ""
    for part in parts:
        unit = " ".join(part.split())
        if not unit:
            continue
        if unit.startswith("*"):
            yield (unit,)
            continue
        rooted = unit.removeprefix(":")
        # A board that does not go on from the last one reads it from the root.
        ways = (rooted,) if unit != rooted or not path else (f"{path}:{unit}", unit)
        yield ways
        header = ways[0].split(" ", 1)[0]
        path = header.rpartition(":")[0]


def _squeezed(body: str) -> str:
    """Without blanks and in capitals, but in quotes (V.250, 5.2.2 and 5.4.2.2)."""
    parts: list[str] = _OUTSIDE.findall(body)
    return "".join(p if p.startswith('"') else p.strip().upper() for p in parts)


def _commands(body: str) -> Iterator[str]:
    """The commands of a body; what cannot be read goes to its end in one."""
    while body:
        if body[0] == "+" or shape_of(body[0]) is not None:
            found = _UPTO.match(body)
            text = found[0] if found else body
            after = len(text)
        elif register := _REGISTER.match(body):
            text, after = register[0], register.end()
        elif basic := _BASIC.match(body):
            text, after = " ".join(filter(None, basic.groups())), basic.end()
        else:
            text, after = body, len(body)
        if text:
            yield text
        body = body[after:].removeprefix(";") if after else body[1:]

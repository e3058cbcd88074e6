"""One language for a line of a console: the same template reads it and writes it.

    let {name} be {value}       fields in braces stand for what varies
    type{ }{type}               `{ }` stands for one or more blanks
    {{literal braces}}          doubled braces are braces

A template covers a whole line. Reading goes once from left to right and never back:
a field ends at the first place where the text after it occurs, so no line, however
long or strange, takes more than linear time.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Final

from benchlink.core.stray import restored, strays
from benchlink.errors import Place

BLANKS: Final = " "
"""The name inside the braces of a run of blanks."""
CONTROLS: Final = frozenset(map(chr, (*range(0x20), 0x7F)))


class Shape(Enum):
    """What the text of a field may look like."""

    ANY = "anything, also nothing"
    UNBROKEN = "one or more characters, no blanks"
    TRIMMED = "one or more characters, no blank at either end"
    DIGITS = "digits"
    LETTER = "one letter"
    REST = "at least one character"


SHAPES: Final[Mapping[str, Shape]] = {
    "name": Shape.TRIMMED,
    "own": Shape.TRIMMED,
    "thing": Shape.TRIMMED,
    "part": Shape.TRIMMED,
    "key": Shape.UNBROKEN,
    "bank": Shape.UNBROKEN,
    "count": Shape.DIGITS,
    "letter": Shape.LETTER,
    "value": Shape.ANY,
    "cells": Shape.ANY,
    "marks": Shape.ANY,
    "line": Shape.ANY,
    "remark": Shape.ANY,
    "anything": Shape.ANY,
}
"""Fields with a shape of their own; every other field is `REST`."""


@dataclass(frozen=True, slots=True)
class Literal:
    """Text that must stand there exactly."""

    text: str


@dataclass(frozen=True, slots=True)
class Blanks:
    """One or more blanks; written as one."""


@dataclass(frozen=True, slots=True)
class Field:
    """A named part that varies."""

    name: str
    shape: Shape


Part = Literal | Blanks | Field


class TemplateError(ValueError):
    """A template that cannot be used; `column` counts from 1 within it."""

    def __init__(self, message: str, column: int) -> None:
        super().__init__(message)
        self.column = column


@dataclass(frozen=True, slots=True)
class Template:
    """A compiled template; make one with `template`."""

    source: str
    parts: tuple[Part, ...]
    place: Place | None = field(default=None, compare=False)
    """Where it stands in a description file."""

    @property
    def fields(self) -> tuple[str, ...]:
        """Names of the fields, in order."""
        return tuple(p.name for p in self.parts if isinstance(p, Field))

    @property
    def begins_fixed(self) -> bool:
        """Whether it begins with text that does not vary."""
        return isinstance(self.parts[0], Literal)

    def match(self, line: str) -> dict[str, str] | None:
        """The fields of a line, or None when the line is another one."""
        found: dict[str, str] = {}
        return found if self._scan(line, found) == len(line) else None

    def rest_after(self, line: str) -> str | None:
        """What follows on a line that begins with this template, or None."""
        end = self._scan(line, {}, whole=False)
        return None if end is None else line[end:]

    def begins_at(self, line: str) -> int | None:
        """Where the last match begins that reaches to the end of a line, or None.

        A template that begins with a field could begin anywhere: it takes whole lines.
        """
        first = self.parts[0]
        if not isinstance(first, Literal):  # see `begins_fixed`
            return None if self.match(line) is None else 0
        at = line.rfind(first.text)
        while at >= 0 and self.match(line[at:]) is None:
            at = line.rfind(first.text, 0, at + len(first.text) - 1)
        return at if at >= 0 else None

    def _scan(
        self, line: str, found: dict[str, str], *, whole: bool = True
    ) -> int | None:
        """Fill `found` from the left; where the last part ended, or None."""
        at = 0
        for index, part in enumerate(self.parts):
            match part:
                case Literal(text):
                    if not line.startswith(text, at):
                        return None
                    at += len(text)
                case Blanks():
                    after = _past_blanks(line, at)
                    if after == at:
                        return None
                    at = after
                case Field(name, shape):
                    end = self._field_end(line, at, index, whole=whole)
                    end = at + 1 if shape is Shape.LETTER else end
                    if end < at or not _fits(shape, line[at:end]):
                        return None
                    found[name] = line[at:end]
                    at = end
        return at

    def render(self, fields: Mapping[str, str]) -> str:
        """Write the line; what its fields hold has to be safe already."""
        return "".join(_written(part, fields) for part in self.parts)

    def _field_end(self, line: str, at: int, index: int, *, whole: bool) -> int:
        if index + 1 == len(self.parts):
            return len(line)
        match self.parts[index + 1]:
            case Field():
                # Its neighbour is one letter: as far as that reaches, less the letter.
                return self._field_end(line, at + 1, index + 1, whole=whole) - 1
            case Literal(text) if whole and index + 2 == len(self.parts):
                # The last literal closes the line: look for it at the end, so a value
                # may hold the closing text itself.
                end = len(line) - len(text)
                return end if end >= at and line.endswith(text) else -1
            case Literal(text):
                return line.find(text, at)
            case _:
                return line.find(" ", at)


def template(source: str, place: Place | None = None) -> Template:
    """Compile a template.

    Raises:
        TemplateError: unbalanced braces, two fields or two blanks side by side, or a
            field twice.
    """
    parts: list[Part] = []
    at = 0
    while at < len(source):
        part, after = _part_at(source, at)
        _check_neighbour(parts, part, at)
        parts.append(part)
        at = after
    if not parts:
        msg = "an empty template takes no line"
        raise TemplateError(msg, 1)
    return Template(source, tuple(parts), place)


def _part_at(source: str, at: int) -> tuple[Part, int]:
    if source[at] == "{" and not source.startswith("{{", at):
        end = source.find("}", at)
        if end < 0:
            msg = "this brace is never closed"
            raise TemplateError(msg, at + 1)
        name = source[at + 1 : end]
        if name == BLANKS:
            return Blanks(), end + 1
        if not name.replace("_", "").isalnum() or not name.isascii():
            msg = f"a field is named with letters and digits, not {name!r}"
            raise TemplateError(msg, at + 1)
        return Field(name, SHAPES.get(name, Shape.REST)), end + 1
    return _literal_at(source, at)


def _literal_at(source: str, at: int) -> tuple[Literal, int]:
    text: list[str] = []
    while at < len(source):
        char = source[at]
        if char in "{}":
            if not source.startswith(char * 2, at):
                if char == "{":
                    break
                msg = "a single closing brace; write }} for a brace"
                raise TemplateError(msg, at + 1)
            at += 1
        # Where a board says a tab, its stand-in stands in the line.
        text.append(strays(char.encode()) if char in CONTROLS else char)
        at += 1
    return Literal("".join(text)), at


def _check_neighbour(parts: list[Part], part: Part, at: int) -> None:
    if parts and isinstance(parts[-1], Blanks) and _begins_blank(part):
        msg = "blanks after `{ }`: it has taken them all already"
        raise TemplateError(msg, at + 1)
    if not isinstance(part, Field):
        return
    if _runs_together(parts, part):
        msg = (
            "two fields side by side: nothing tells where one ends; a field of one"
            " letter is {letter}"
        )
        raise TemplateError(msg, at + 1)
    if any(isinstance(p, Field) and p.name == part.name for p in parts):
        msg = f"the field {part.name!r} stands here twice"
        raise TemplateError(msg, at + 1)


def _runs_together(parts: list[Part], part: Field) -> bool:
    """Whether nothing tells where the field before this one ends.

    One letter has its own end; behind another field it ends that one only where no
    third field stands behind it.
    """
    if not parts or not isinstance(parts[-1], Field):
        return False
    if parts[-1].shape is not Shape.LETTER:
        return part.shape is not Shape.LETTER
    before = parts[-2] if len(parts) > 1 else None
    return isinstance(before, Field) and before.shape is not Shape.LETTER


def _begins_blank(part: Part) -> bool:
    match part:
        case Literal(text):
            return text.startswith(" ")
        case Blanks():
            return True
        case Field():
            return False


def _past_blanks(line: str, at: int) -> int:
    while at < len(line) and line[at] == " ":
        at += 1
    return at


def _fits(shape: Shape, text: str) -> bool:
    match shape:
        case Shape.ANY:
            return True
        case Shape.UNBROKEN:
            return bool(text) and not any(map(str.isspace, text))
        case Shape.TRIMMED:
            return bool(text) and text == text.strip()
        case Shape.LETTER:
            return len(text) == 1 and text.isalpha()
        case Shape.DIGITS:
            return text.isascii() and text.isdigit()
        case Shape.REST:
            return bool(text)


def _written(part: Part, fields: Mapping[str, str]) -> str:
    match part:
        case Literal(text):
            return restored(text)
        case Blanks():
            return " "
        case Field(name):
            return fields[name]

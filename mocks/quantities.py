"""Kinds of values: what the board takes for a setting, and how it prints it."""

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Final, Protocol

TEXT_LONGEST: Final = 40
"""Characters in a text value."""

_WHOLE: Final = re.compile(r"[+-]?[0-9]{1,9}")
_DECIMAL: Final = re.compile(r"[+-]?[0-9]{1,9}(\.[0-9]{1,9})?")
_QUOTED: Final = re.compile(r'"((?:[^"\\]|\\["\\])*)"')
_ESCAPED: Final = re.compile(r"\\(.)")


class RefusalError(Exception):
    """The board takes no such value; the text is what it says after `sorry: `."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """A value that the board took."""

    text: str
    """As it is printed from now on."""
    note: str | None = None
    """What is said when it was not taken as asked."""


class Kind(Protocol):
    """The form and range of a setting's value."""

    def take(self, given: str) -> Taken:
        """Read a value as typed. Raises `RefusalError`."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Whole:
    """A whole number, both ends included."""

    low: int
    high: int
    limits: bool = False
    """A value outside is moved to the nearest end, with a note."""

    def take(self, given: str) -> Taken:
        """Read a whole number."""
        if _WHOLE.fullmatch(given) is None:
            msg = f"'{given}' is not a whole number"
            raise RefusalError(msg)
        asked = int(given)
        inside = min(self.high, max(self.low, asked))
        if inside == asked:
            return Taken(text=str(asked))
        if self.limits:
            return Taken(text=str(inside), note=f"limited to {inside}")
        raise RefusalError(
            _outside(given, str(self.low), str(self.high), below=asked < inside)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Fraction:
    """A decimal number in steps, printed with the digits of its step."""

    low: str
    high: str
    step: str
    """Resolution, for instance `0.05`."""
    limits: bool = False
    """A value outside is moved to the nearest end, with a note."""
    rounds: bool = False
    """A finer value is rounded to the step and nothing is said."""

    def take(self, given: str) -> Taken:
        """Read a decimal number."""
        if _DECIMAL.fullmatch(given) is None:
            msg = f"'{given}' is not a number"
            raise RefusalError(msg)
        asked = Decimal(given)
        inside = min(Decimal(self.high), max(Decimal(self.low), asked))
        if inside == asked:
            return Taken(text=self._stepped(asked))
        if self.limits:
            text = self._stepped(inside)
            return Taken(text=text, note=f"limited to {text}")
        raise RefusalError(_outside(given, self.low, self.high, below=asked < inside))

    def _stepped(self, value: Decimal) -> str:
        step = Decimal(self.step)
        stepped = (value / step).quantize(Decimal(1), rounding=ROUND_HALF_EVEN) * step
        if stepped != value and not self.rounds:
            msg = f"{value} is finer than steps of {self.step}"
            raise RefusalError(msg)
        # adding zero turns a negative zero into a plain one
        return str(stepped.quantize(step) + 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Switch:
    """`yes` or `no`."""

    def take(self, given: str) -> Taken:
        """Read a switch."""
        if given not in {"yes", "no"}:
            msg = f"'{given}' is not yes or no"
            raise RefusalError(msg)
        return Taken(text=given)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One bare word of a closed list."""

    words: tuple[str, ...]

    def take(self, given: str) -> Taken:
        """Read one of the words."""
        if given not in self.words:
            msg = f"'{given}' is not one of {', '.join(self.words)}"
            raise RefusalError(msg)
        return Taken(text=given)


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """Text in double quotes, at most 40 characters."""

    def take(self, given: str) -> Taken:
        """Read a quoted text; a backslash stands before a quote or a backslash."""
        quoted = _QUOTED.fullmatch(given)
        if quoted is None:
            msg = "text must stand in double quotes"
            raise RefusalError(msg)
        plain = _ESCAPED.sub(r"\1", quoted[1])
        if len(plain) > TEXT_LONGEST:
            msg = f"text of {len(plain)} characters is longer than {TEXT_LONGEST}"
            raise RefusalError(msg)
        return Taken(text=given)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A fixed count of whole numbers with commas between them."""

    count: int
    low: int
    high: int

    def take(self, given: str) -> Taken:
        """Read the numbers; blanks are not allowed."""
        parts = given.split(",")
        if len(parts) != self.count:
            msg = f"{self.count} numbers are needed, {len(parts)} given"
            raise RefusalError(msg)
        each = Whole(low=self.low, high=self.high)
        return Taken(text=",".join(each.take(part).text for part in parts))


def quoted(plain: str) -> str:
    r"""Write text as the board prints it: in quotes, `\"` and `\\` escaped."""
    escaped = plain.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def plain_text(text: str) -> str:
    """The characters of a text value, without quotes and backslashes."""
    return _ESCAPED.sub(r"\1", text[1:-1])


def _outside(given: str, low: str, high: str, *, below: bool) -> str:
    return f"{given} is below {low}" if below else f"{given} is above {high}"

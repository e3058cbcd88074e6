"""Values as a console spells them.

Whatever cannot be spelled so that the board reads back exactly the same value, and
nothing else, is refused before a byte is sent.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import Enum
from typing import Final

from benchlink.console.charset import Charset
from benchlink.console.clock import Clock, seconds_or_none, shown_by
from benchlink.console.pieces import outside, pieces
from benchlink.console.scaling import EXACT, Scale, over, times
from benchlink.core.values import (
    Number,
    Series,
    Switch,
    Text,
    Unset,
    Value,
    Word,
    decimal_or_none,
)

TEN: Final = 10

_HEX_PAIR: Final = re.compile("[0-9A-Fa-f]{2}")


class Kind(Enum):
    """What a setting holds where its spelling alone does not tell."""

    NUMBER = "number"
    TEXT = "text"
    WORD = "word"


@dataclass(frozen=True, slots=True, kw_only=True)
class Codec:
    """How a console writes each kind of value."""

    on: str = ""
    off: str = ""
    """Words of a switch; empty where the console has none."""
    quote: str = ""
    """Stands around text, or opens and closes it where it is two characters."""
    escape: str = ""
    """Stands before a quote, or before itself, inside text; may be the quote itself."""
    hex_escapes: bool = False
    """Whether two hex digits of a character stand after the escape (ITU-T V.250)."""
    separator: str = ""
    """Stands between the values of a list; empty where there are no lists."""
    reserved: str = ""
    """Characters that mean something to the console wherever they stand."""
    reserved_outside: str = ""
    """Characters that mean something to it anywhere but inside quotes."""
    kind: Kind | None = None
    prefix: str = ""
    suffix: str = ""
    """Stand before and after a number, and mean nothing by themselves."""
    radix: int = TEN
    digits: int = 0
    """A number is filled up with zeros to so many digits."""
    places: int = -1
    """Digits behind the point; -1 for as many as the value has."""
    scale: Scale = Decimal(1)
    """What one of the console's units is in ours."""
    units: Mapping[str, Scale] = field(default_factory=dict)
    """Suffixes of which one stands behind each number, and what 1 of each is in ours."""
    clock: Clock | None = None
    """How a number of seconds is shown where it is shown as a time."""
    exponents: bool = False
    """Whether numbers may come as `1.5E+01`."""
    words: Mapping[str, str] = field(default_factory=dict)
    """Words that stand for numbers: the console's word, and the number."""
    unset: str | None = None
    """What stands where nothing is set."""
    charset: Charset = Charset.UNSAID
    """The characters that can be sent."""

    @property
    def opens(self) -> str:
        """What stands before text."""
        return self.quote[:1]

    @property
    def closes(self) -> str:
        """What stands after text."""
        return self.quote[-1:]

    def read(self, raw: str) -> Value:
        """What a spelled value means; a spelling nobody foresaw is a word."""
        if raw == self.unset:
            return Unset()
        if self.kind is Kind.TEXT and not self.quote:
            return Text(raw)
        if self.quote and raw.startswith(self.opens):
            text = self._unquoted(raw)
            return self._several(raw) if text is None else Text(text)
        if self.on and raw in {self.on, self.off}:
            return Switch(raw == self.on)
        number = self._number(raw)
        return self._several(raw) if number is None else Number(number)

    def _several(self, raw: str) -> Value:
        if self.separator and self.separator in raw:
            parts = pieces(raw, self.separator, self.quote, self.escape)
            if len(parts) > 1:
                return Series(tuple(map(self.read, parts)))
        return Word(raw)

    def write(self, value: Value) -> str:
        """Spell a value for the board.

        Raises:
            ValueError: this console cannot be told that value safely.
        """
        spelled = self._spell(value)
        self._refuse_unsafe(spelled)
        if self.read(spelled) != value:
            msg = (
                f"{value} cannot be written: the board would read {self.read(spelled)}"
            )
            raise ValueError(msg)
        return spelled

    def write_lines(self, value: Value) -> tuple[str, ...]:
        """The lines of a text that is told line by line; none of an empty one.

        Raises:
            ValueError: this console cannot be told that value safely.
        """
        if not isinstance(value, Text):
            msg = f"{value} is no text: it cannot be written line by line"
            raise ValueError(msg)
        lines = tuple(value.text.split("\n")) if value.text else ()
        for line in lines:
            self._refuse_unsafe(line)
        read = self.read("\n".join(lines))
        if read != value:
            msg = f"{value} cannot be written: the board would read {read}"
            raise ValueError(msg)
        return lines

    def _spell(self, value: Value) -> str:
        match value:
            case Switch(on):
                return self._switch(on=on)
            case Text(text):
                return self._quoted(text)
            case Series(values):
                return self.separator.join(map(self._spell, values))
            case Number(number):
                return self._numeral(number)
            case Unset():
                if self.unset is None:
                    msg = "this console has no way to unset it"
                    raise ValueError(msg)
                return self.unset
            case Word(word):
                return self._word(word)

    def _switch(self, *, on: bool) -> str:
        if not self.on:
            msg = "this console has no words for on and off there"
            raise ValueError(msg)
        return self.on if on else self.off

    def _word(self, word: str) -> str:
        if not word or any(map(str.isspace, word)):
            msg = f"{word!r} is not one word"
            raise ValueError(msg)
        if any(mark in word for mark in self.quote):
            msg = f"{word!r} would open or close a text on this console"
            raise ValueError(msg)
        return word

    def _number(self, raw: str) -> Decimal | None:
        if self.kind in {Kind.TEXT, Kind.WORD}:
            return None
        if raw in self.words:
            return decimal_or_none(self.words[raw])
        unit = self._unit(raw)
        if not raw.startswith(self.prefix) or unit is None:
            return None
        suffix, scale = unit
        body = raw[len(self.prefix) : len(raw) - len(suffix)]
        clock = self.clock
        number = seconds_or_none(clock, body) if clock else self._digits(body)
        return None if number is None else times(number, scale)

    @property
    def _units(self) -> Mapping[str, Scale]:
        return self.units or {self.suffix: self.scale}

    def _unit(self, raw: str) -> tuple[str, Scale] | None:
        """The suffix of a number, the longest that fits, and what 1 of it is."""
        fitting = (item for item in self._units.items() if raw.endswith(item[0]))
        return max(fitting, key=lambda item: len(item[0]), default=None)

    def _digits(self, body: str) -> Decimal | None:
        if self.radix != TEN:
            if not body or not body.isalnum() or not body.isascii():
                return None
            try:
                return Decimal(int(body, self.radix))
            except ValueError:
                return None
        mantissa, mark, exponent = body.upper().partition("E")
        number = decimal_or_none(mantissa)
        if not mark or number is None or not self.exponents:
            return number if not mark else None
        power = exponent[1:] if exponent[:1] in {"+", "-"} else exponent
        if not power.isdigit() or not power.isascii() or len(power) > 2:  # noqa: PLR2004
            return None
        return number.scaleb(int(exponent), EXACT)

    def _numeral(self, number: Decimal) -> str:
        for word, meant in self.words.items():
            if decimal_or_none(meant) == number:
                return word
        suffix, scaled = self._in_unit(number)
        if self.clock is not None:
            body = shown_by(self.clock, scaled, self.digits)
        elif self.radix != TEN:
            body = self._in_radix(scaled)
        else:
            if self.places >= 0:
                scaled = self._rounded(scaled)
            sign = "-" if scaled.is_signed() else ""
            body = sign + format(scaled.copy_abs(), "f").zfill(self.digits)
        return self.prefix + body + suffix

    def _in_unit(self, number: Decimal) -> tuple[str, Decimal]:
        """The suffix that tells a number exactly, the first of several, and how many."""
        for suffix, scale in self._units.items():
            scaled = number if scale == 1 else over(number, scale)
            if scaled is None:
                continue
            alone = len(self.units) < 2 or self.places < 0  # noqa: PLR2004 - a choice
            if alone or self._rounded(scaled) == scaled:
                return suffix, scaled
        msg = f"{number:f} has no exact number in the unit of this console"
        raise ValueError(msg)

    def _rounded(self, number: Decimal) -> Decimal:
        return number.quantize(Decimal(1).scaleb(-self.places), context=EXACT)

    def _in_radix(self, number: Decimal) -> str:
        if number < 0 or number != int(number):
            msg = f"{number} cannot be written in base {self.radix}"
            raise ValueError(msg)
        figures = {2: "b", 8: "o", 16: "X"}[self.radix]
        return format(int(number), figures).zfill(self.digits)

    def _quoted(self, text: str) -> str:
        if not self.quote:
            if self.kind is not Kind.TEXT:
                msg = "this console has no way to write text"
                raise ValueError(msg)
            if not text or text != text.strip():
                msg = (
                    f"{text!r} cannot be written without quotes: its ends would be lost"
                )
                raise ValueError(msg)
            return text
        if self.escape == self.closes:
            text = text.replace(self.closes, self.closes * 2)
        elif self.escape:
            for special in (self.escape, self.closes):
                text = text.replace(special, self._escaped(special))
        return self.opens + text + self.closes

    def _escaped(self, char: str) -> str:
        return self.escape + (f"{ord(char):02X}" if self.hex_escapes else char)

    def _unescaped(self, chars: Iterator[str]) -> str:
        """The character that an escape stands for; nothing where none follows."""
        first = next(chars, "")
        if not self.hex_escapes:
            return first
        code = first + next(chars, "")
        return chr(int(code, 16)) if _HEX_PAIR.fullmatch(code) else self.escape + code

    def _unquoted(self, raw: str) -> str | None:
        """The text inside the quotes, or None when they do not pair up."""
        text: list[str] = []
        chars = iter(raw[1:])
        for char in chars:
            if char == self.escape == self.closes:
                after = next(chars, None)
                if after is None:
                    return "".join(text)
                if after != self.closes:
                    return None
                text.append(after)
            elif char == self.escape and self.escape:
                text.append(self._unescaped(chars))
            elif char == self.closes:
                return "".join(text) if next(chars, None) is None else None
            else:
                text.append(char)
        return None

    def _refuse_unsafe(self, spelled: str) -> None:
        bare = outside(spelled, self.quote, self.escape)
        for char in spelled:
            if char in self.reserved or (
                char in self.reserved_outside and char in bare
            ):
                msg = (
                    f"holds {char!r}, which this console takes as a command of its own"
                )
                raise ValueError(msg)
        unsent = next(filter(None, map(self.charset.why_not, spelled)), "")
        if unsent:
            msg = f"holds {unsent}"
            raise ValueError(msg)

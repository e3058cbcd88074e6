"""Values as a console spells them.

Whatever cannot be spelled so that the board reads back exactly the same value, and
nothing else, is refused before a byte is sent.
"""

from dataclasses import dataclass
from typing import Final

from benchlink.core.values import (
    Number,
    Series,
    Switch,
    Text,
    Value,
    Word,
    decimal_or_none,
)

ASCII_LAST: Final = 0x7E


@dataclass(frozen=True, slots=True, kw_only=True)
class Codec:
    """How a console writes each kind of value."""

    on: str = "on"
    off: str = "off"
    quote: str = ""
    """Stands around text; empty where the console has no text."""
    escape: str = ""
    """Stands before a quote, or before itself, inside text."""
    separator: str = ""
    """Stands between the values of a list; empty where there are no lists."""
    reserved: str = ""
    """Characters that mean something to the console wherever they stand."""

    def read(self, raw: str) -> Value:
        """What a spelled value means; a spelling nobody foresaw is a word."""
        if self.quote and raw.startswith(self.quote):
            text = self._unquoted(raw)
            return Word(raw) if text is None else Text(text)
        if raw in {self.on, self.off}:
            return Switch(raw == self.on)
        number = decimal_or_none(raw)
        if number is not None:
            return Number(number)
        if self.separator and self.separator in raw:
            return Series(tuple(map(self.read, raw.split(self.separator))))
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

    def _spell(self, value: Value) -> str:
        match value:
            case Switch(on):
                return self.on if on else self.off
            case Text(text):
                return self._quoted(text)
            case Series(values):
                return self.separator.join(map(self._spell, values))
            case Number():
                return str(value)
            case Word(word):
                if not word or any(map(str.isspace, word)):
                    msg = f"{word!r} is not one word"
                    raise ValueError(msg)
                if self.quote and self.quote in word:
                    msg = f"{word!r} would open or close a text on this console"
                    raise ValueError(msg)
                return word

    def _quoted(self, text: str) -> str:
        if not self.quote:
            msg = "this console has no way to write text"
            raise ValueError(msg)
        if self.escape:
            for special in (self.escape, self.quote):
                text = text.replace(special, self.escape + special)
        return self.quote + text + self.quote

    def _unquoted(self, raw: str) -> str | None:
        """The text inside the quotes, or None when they do not pair up."""
        text: list[str] = []
        chars = iter(raw[1:])
        for char in chars:
            if char == self.escape and self.escape:
                text.append(next(chars, ""))
            elif char == self.quote:
                return "".join(text) if next(chars, None) is None else None
            else:
                text.append(char)
        return None

    def _refuse_unsafe(self, spelled: str) -> None:
        for char in spelled:
            if char in self.reserved:
                msg = (
                    f"holds {char!r}, which this console takes as a command of its own"
                )
                raise ValueError(msg)
            if not " " <= char <= chr(ASCII_LAST):
                msg = (
                    f"holds U+{ord(char):04X}, which is not a plain printable character"
                )
                raise ValueError(msg)

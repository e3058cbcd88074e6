"""What a setting can hold; values are equal when they mean the same.

`Number(Decimal("1.50")) == Number(Decimal("1.5"))`, and a switch is on whatever word
a board has for it. Kinds never equal each other: `Text("5")` is not `Number(5)`.
"""

from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from itertools import chain, repeat
from typing import Final

from benchlink.core.document import Items, Node, Scalar, kind_of

SWITCH_WORDS: Final = {"on": True, "off": False}
"""Our own notation for switches, in profiles, backups and on screen."""

UNSET_WORD: Final = "unset"
"""Our own notation for a setting with nothing in it."""


@dataclass(frozen=True, slots=True)
class Number:
    """A number, exactly as many digits as were written."""

    value: Decimal

    def __str__(self) -> str:
        return format(self.value, "f")


@dataclass(frozen=True, slots=True)
class Switch:
    """On or off."""

    on: bool

    def __str__(self) -> str:
        return "on" if self.on else "off"


@dataclass(frozen=True, slots=True)
class Word:
    """One word out of the board's own list of choices."""

    word: str

    def __str__(self) -> str:
        return self.word


@dataclass(frozen=True, slots=True)
class Text:
    """Free text, without the quotes that a console may put around it."""

    text: str

    def __str__(self) -> str:
        return f'"{self.text}"'


@dataclass(frozen=True, slots=True)
class Series:
    """Several values in a fixed order."""

    values: tuple["Value", ...]

    def __str__(self) -> str:
        return "[" + ", ".join(map(str, self.values)) + "]"


@dataclass(frozen=True, slots=True)
class Unset:
    """Nothing is set there, which is something else than an empty text."""

    def __str__(self) -> str:
        return UNSET_WORD


Value = Number | Switch | Word | Text | Series | Unset

KIND_NAMES: Final[dict[type[Value], str]] = {
    Number: "a number",
    Switch: "on or off",
    Word: "a word",
    Text: "text",
    Series: "a list",
    Unset: "nothing",
}


def decimal_or_none(text: str) -> Decimal | None:
    """Plain decimal notation only: no exponent, no `nan`, no digit groups."""
    if not text.isascii() or not text or set(text) - set("+-.0123456789"):
        return None
    try:
        return Decimal(text)
    except InvalidOperation:
        return None


def as_kind_of(live: Value, given: Node) -> Value:
    """Read what a person wrote as the kind of value the board holds there.

    The board decides the kind, so `on` is a switch for a switch and a word for a word.

    Raises:
        ValueError: the text cannot be that kind; the message says what it must be.
    """
    if isinstance(given, Scalar) and given.text == UNSET_WORD and not given.quoted:
        return Unset()
    if isinstance(live, Unset):
        return _by_itself(given)
    if isinstance(live, Series):
        return _series_like(live, given)
    if not isinstance(given, Scalar):
        msg = f"must be {KIND_NAMES[type(live)]}, not {kind_of(given)}"
        raise ValueError(msg)
    value = _scalar_like(live, given)
    if value is None:
        msg = f"must be {KIND_NAMES[type(live)]}, not {given.text!r}"
        raise ValueError(msg)
    return value


def _scalar_like(live: Value, given: Scalar) -> Value | None:
    match live:
        case Text():
            return Text(given.text)
        case Switch():
            on = SWITCH_WORDS.get(given.text)
            return None if on is None or given.quoted else Switch(on)
        case Number():
            number = decimal_or_none(given.text)
            return None if number is None or given.quoted else Number(number)
        case _:
            return Word(given.text) if given.text else None


def _by_itself(given: Node) -> Value:
    """What a value is likely to be where the board holds nothing to go by."""
    if isinstance(given, Items):
        return Series(tuple(map(_by_itself, given.items)))
    if not isinstance(given, Scalar):
        msg = f"must be a value, not {kind_of(given)}"
        raise ValueError(msg)
    if given.quoted:
        return Text(given.text)
    number = decimal_or_none(given.text)
    if number is not None:
        return Number(number)
    on = SWITCH_WORDS.get(given.text)
    return Word(given.text) if on is None else Switch(on)


def _series_like(live: Series, given: Node) -> Series:
    if not isinstance(given, Items):
        msg = f"must be a list like {live}, not {kind_of(given)}"
        raise ValueError(msg)
    # A list that grows goes on as its last place.
    samples = chain(live.values, repeat(live.values[-1] if live.values else Word("")))
    return Series(tuple(map(as_kind_of, samples, given.items)))


def within(now: Value, wanted: Value, tolerance: Decimal) -> bool:
    """Whether two values mean the same, numbers within `tolerance` of each other."""
    match now, wanted:
        case Number(), Number():
            return abs(now.value - wanted.value) <= tolerance
        case Series(), Series():
            return len(now.values) == len(wanted.values) and all(
                within(a, b, tolerance)
                for a, b in zip(now.values, wanted.values, strict=True)
            )
        case _:
            return now == wanted

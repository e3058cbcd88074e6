"""How the scoter console names and spells the settings: SCPI headers and data.

A canonical name becomes a header: every word a mnemonic, the unit left out
(`tilt.left.centre_us` is `TILT:LEFT:CENTre`). The capitals are the short form
(SCPI-1999 volume 1, 6.2.1: the first four letters, three when the fourth is a vowel).
Read-only settings (`board.*`) have a query only and are not in the learned string.
"""

import re
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from .quantities import (
    TEXT_LONGEST,
    Choice,
    Fraction,
    RefusalError,
    Row,
    Switch,
    Text,
    Whole,
    plain_text,
    quoted,
)
from .settings import Owner

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from .aircraft import Aircraft
    from .quantities import Kind
    from .settings import Setting

_UNITS: Final = re.compile(r"_(us|deg_s|deg|hz|pct|mah|v|dps|mgauss|mg|mm|ms|g|s)$")
_ANGLES: Final = {"aft_deg": ("angle", "aft"), "fore_deg": ("angle", "fore")}
"""Without their unit these would be called like the ends of the travel in us."""
_VOWELS: Final = frozenset("aeiou")
_SHORT: Final = 4
_WORD: Final = re.compile(r"([a-z]+)([0-9]*)")
_NUMBER: Final = re.compile(r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]{1,2})?")
_LONGEST_NUMBER: Final = 40
_STRING: Final = re.compile(r'"((?:[^"]|"")*)"')
_CHARACTERS: Final = re.compile(r"[A-Za-z][A-Za-z0-9_]*")
_SWITCHES: Final = {"ON": "yes", "1": "yes", "OFF": "no", "0": "no"}
_ENDS: Final = {"MIN": "MIN", "MINIMUM": "MIN", "MAX": "MAX", "MAXIMUM": "MAX"} | {
    "DEF": "DEF",
    "DEFAULT": "DEF",
}


class ScpiError(Exception):
    """An error for the queue. The numbers are those of SCPI-1999 volume 2, 21.8."""

    def __init__(self, number: int) -> None:
        super().__init__(number, TEXTS[number])
        self.number = number


TEXTS: Final = {
    0: "No error",
    -101: "Invalid character",
    -102: "Syntax error",
    -104: "Data type error",
    -108: "Parameter not allowed",
    -109: "Missing parameter",
    -113: "Undefined header",
    -151: "Invalid string data",
    -203: "Command protected",
    -221: "Settings conflict",
    -222: "Data out of range",
    -223: "Too much data",
    -224: "Illegal parameter value",
    -250: "Mass storage error",
    -350: "Queue overflow",
    -363: "Input buffer overrun",
}


def mnemonic(word: str) -> str:
    """A word with its short form in capitals: `centre` is `CENTre`, `p1` is `P1`."""
    parts = _WORD.fullmatch(word)
    if parts is None:
        return word.upper()
    letters, digits = parts.groups()
    cut = _SHORT
    if len(letters) > _SHORT and letters[_SHORT - 1] in _VOWELS:
        cut -= 1
    return letters[:cut].upper() + letters[cut:] + digits


def forms(mixed: str) -> tuple[str, str]:
    """Long and short form of a mnemonic, in capitals."""
    return mixed.upper(), re.sub("[a-z]", "", mixed)


def header(name: str) -> str:
    """The header of a setting, without a leading colon."""
    *path, leaf = name.split(".")
    words = [word for level in path for word in level.split("_")]
    words += _ANGLES.get(leaf) or _UNITS.sub("", leaf).split("_")
    return ":".join(mnemonic(word) for word in words)


def learned(name: str) -> str:
    """The header as the board lists it: from the root, long, in capitals."""
    return f":{header(name).upper()}"


def character_data(word: str) -> str:
    """A choice's word with its short form in capitals; a compound has none."""
    return word.upper().replace("-", "_") if "-" in word else mnemonic(word)


def spell(kind: "Kind", text: str) -> str:
    """A canonical value as response data."""
    match kind:
        case Fraction():
            return f"{float(text):+.5E}"
        case Switch():
            return "1" if text == "yes" else "0"
        case Choice():
            return forms(character_data(text))[1]
        case Text():
            doubled = plain_text(text).replace('"', '""')
            return f'"{doubled}"'
        case _:
            return text


def read(setting: "Setting", given: "list[str]") -> str:
    """Program data as a canonical value. Raises `ScpiError`."""
    kind = setting.kind
    count = kind.count if isinstance(kind, Row) else 1
    if len(given) != count:
        raise ScpiError(-109 if len(given) < count else -108)
    if isinstance(kind, Row):
        each = Whole(low=kind.low, high=kind.high)
        return ",".join(_number(each, part) for part in given)
    if is_numeric(setting) and given[0].upper() in _ENDS:
        return extreme(setting, given[0])
    return _single(kind, given[0])


def is_numeric(setting: "Setting") -> bool:
    """It has a least, a greatest and a factory value."""
    return isinstance(setting.kind, Whole | Fraction)


def extreme(setting: "Setting", word: str) -> str:
    """The value that `MINimum`, `MAXimum` or `DEFault` stands for."""
    which = _ENDS.get(word.upper())
    kind = setting.kind
    if which is None or not isinstance(kind, Whole | Fraction):
        raise ScpiError(-224)
    if which == "DEF":
        return setting.factory
    return _number(kind, str(kind.low if which == "MIN" else kind.high))


def learn(aircraft: "Aircraft") -> dict[str, str]:
    """The learned string's headers and data: all settings but the read-only ones."""
    live = aircraft.live
    return _spelled({s: live[s.name] for s in writable(aircraft)})


def shown(aircraft: "Aircraft") -> dict[str, str]:
    """The same for all live settings, read-only ones too."""
    return _spelled({s: aircraft.live[s.name] for s in aircraft.settings.values()})


def kept_shown(aircraft: "Aircraft") -> dict[str, str]:
    """The same for what a restart brings."""
    values = aircraft.after_restart()
    return _spelled({s: values[s.name] for s in aircraft.settings.values()})


def writable(aircraft: "Aircraft") -> "Iterable[Setting]":
    """The settings of the learned string, in the board's order."""
    return (s for s in aircraft.settings.values() if s.owner is not Owner.MAKER)


def _spelled(values: "Mapping[Setting, str]") -> dict[str, str]:
    return {learned(s.name): spell(s.kind, value) for s, value in values.items()}


def _single(kind: "Kind", given: str) -> str:
    match kind:
        case Whole() | Fraction():
            return _number(kind, given)
        case Switch():
            return _word(given, _SWITCHES)
        case Choice():
            known = {
                form: word
                for word in kind.words
                for form in forms(character_data(word))
            }
            return _word(given, known)
        case _:
            return _string(given)


def _number(kind: "Whole | Fraction", given: str) -> str:
    """Any decimal numeric form, silently rounded; out of range is an error."""
    if _NUMBER.fullmatch(given) is None or len(given) > _LONGEST_NUMBER:
        raise ScpiError(-104)
    asked = Decimal(given)
    if not Decimal(kind.low) <= asked <= Decimal(kind.high):
        raise ScpiError(-222)
    if isinstance(kind, Whole):
        return str(int(asked.to_integral_value()))
    return replace(kind, rounds=True).take(f"{asked:.9f}").text


def _word(given: str, known: dict[str, str]) -> str:
    if given.startswith('"'):
        raise ScpiError(-104)
    word = known.get(given.upper())
    if word is None:
        raise ScpiError(-224)
    return word


def _string(given: str) -> str:
    if not given.startswith('"'):
        raise ScpiError(-104)
    inside = _STRING.fullmatch(given)
    if inside is None:
        raise ScpiError(-151)
    plain = inside[1].replace('""', '"')
    if len(plain) > TEXT_LONGEST:
        raise ScpiError(-223)
    return quoted(plain)


def refused(refusal: RefusalError) -> ScpiError:
    """The error for what the aircraft itself refuses."""
    return ScpiError(-221 if str(refusal).startswith("needs") else -250)

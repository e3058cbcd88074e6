r"""How the avocet console spells values (ITU-T V.250, 5.4.2 and 5.4.3).

Switches are `0` and `1`, choices their index. Text stands in quotes, `"` as `\22`
and `\` as `\5C`. Some settings are coded in hex (`0x060E`), some in tenths (`55t`)
or hundredths (`-150h`) of their unit.
"""

import re
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from .avocet_names import Parameter, parameters
from .quantities import (
    Choice,
    Fraction,
    Kind,
    RefusalError,
    Row,
    Switch,
    Text,
    Whole,
    plain_text,
    quoted,
)

if TYPE_CHECKING:
    from .aircraft import Aircraft
    from .settings import Setting

NOTHING: Final = "-"
"""The answer of a parameter whose letters are all left out."""

_HEX: Final = frozenset({"pack.capacity_mah", "radio.failsafe.throttle_us"})
_SCALED: Final = re.compile(
    r"(?P<t>motor\.(left|right)\.idle_pct|pack\.(warn|land)_v|level\.strength"
    r"|channel\.m[0-9]+\.offset_us)|(?P<h>level\.(roll|pitch)_deg)"
)
_PER_UNIT: Final = {"t": 10, "h": 100}
_HEX_FORM: Final = re.compile(r"0[xX]([0-9A-Fa-f]{1,6})")
_SCALED_FORM: Final = re.compile(r"([+-]?[0-9]{1,9})([tThH])")
_STRING: Final = re.compile(r'"((?:[^"\\]|\\[0-9A-Fa-f]{2})*)"')
_CODED: Final = re.compile(r"\\([0-9A-Fa-f]{2})")
_LETTERED: Final = re.compile(r"([A-Z])([^A-Z]+)")


def shown(aircraft: "Aircraft") -> dict[str, str]:
    """Every parameter, `+GRLL.G` for a letter: what this console can show.

    Left out: the plate, mass and span, pulse ends and remarks of the outputs, names
    of channels and curves, log fields.
    """
    return _spelled(aircraft, aircraft.live)


def kept_shown(aircraft: "Aircraft") -> dict[str, str]:
    """The same for what a restart brings."""
    return _spelled(aircraft, aircraft.after_restart())


def answer(aircraft: "Aircraft", parameter: Parameter, turn: int) -> str:
    """The value text of a parameter; `turn` moves the order of the letters."""
    settings = aircraft.settings
    live = aircraft.live
    if "" in parameter.cells:
        name = parameter.cells[""]
        return spell(settings[name], live[name])
    letters = [
        (letter, name)
        for letter, name in parameter.cells.items()
        if not parameter.sparse or live[name] != settings[name].factory
    ]
    if not letters:
        return NOTHING
    turn %= len(letters)
    turned = letters[turn:] + letters[:turn]
    return " ".join(f"{letter}{spell(settings[n], live[n])}" for letter, n in turned)


def write(aircraft: "Aircraft", parameter: Parameter, given: str) -> str | None:
    """Write a parameter, all of it or nothing; blanks have gone but in quotes.

    Returns:
        What to note when a value was not taken as asked.

    Raises:
        RefusalError: As the aircraft does, or the form is wrong.
    """
    values = {"": given} if "" in parameter.cells else _lettered(given)
    wanted = {}
    for letter, text in values.items():
        if letter not in parameter.cells:
            msg = f"+{parameter.name} has no letter {letter}"
            raise RefusalError(msg)
        setting = aircraft.settings[parameter.cells[letter]]
        wanted[setting.name] = read(setting, text)
        setting.kind.take(wanted[setting.name])
        _require_unlocked(aircraft, setting)
    notes = [aircraft.write(name, text) for name, text in wanted.items()]
    return next((note for note in notes if note is not None), None)


def test_answer(aircraft: "Aircraft", parameter: Parameter) -> str:
    """What `=?` tells: the range of each value."""
    ranges = (
        f"{letter}{_range(aircraft.settings[name])}"
        for letter, name in parameter.cells.items()
    )
    return " ".join(ranges)


def spell(setting: "Setting", text: str) -> str:
    """A canonical value as this console prints it."""
    if setting.name in _HEX:
        return f"0x{int(text):04X}"
    suffix = _suffix(setting.name)
    if suffix is not None:
        return f"{Decimal(text) * _PER_UNIT[suffix]:.0f}{suffix}"
    match setting.kind:
        case Switch():
            return "1" if text == "yes" else "0"
        case Choice(words=words):
            return str(words.index(text))
        case Text():
            return _string(text)
        case _:
            return text


def read(setting: "Setting", given: str) -> str:
    """A value as typed, as the aircraft takes it. Raises `RefusalError`."""
    if setting.name in _HEX:
        return str(int(_form(_HEX_FORM, given, "a hex number such as 0x03B6")[1], 16))
    suffix = _suffix(setting.name)
    if suffix is not None:
        return _unscaled(setting.kind, given, suffix)
    match setting.kind:
        case Switch():
            return _word(given, ("no", "yes"))
        case Choice(words=words):
            return _word(given, words)
        case Text():
            coded = _form(_STRING, given, "text in double quotes")[1]
            return quoted(_CODED.sub(lambda code: chr(int(code[1], 16)), coded))
        case _:
            return given


def _require_unlocked(aircraft: "Aircraft", setting: "Setting") -> None:
    if setting.needs is None or aircraft.live[setting.needs] == "yes":
        return
    every = parameters(aircraft.settings).values()
    key = next(p.name for p in every if setting.needs in p.cells.values())
    msg = f"+{key} must be 1 first"
    raise RefusalError(msg)


def _spelled(aircraft: "Aircraft", values: dict[str, str]) -> dict[str, str]:
    return {
        f"+{parameter.name}{'.' if letter else ''}{letter}": spell(
            aircraft.settings[name], values[name]
        )
        for parameter in parameters(aircraft.settings).values()
        for letter, name in parameter.cells.items()
    }


def _suffix(name: str) -> str | None:
    scaled = _SCALED.fullmatch(name)
    return None if scaled is None else scaled.lastgroup


def _unscaled(kind: Kind, given: str, suffix: str) -> str:
    parts = _form(_SCALED_FORM, given, f"a number with the suffix {suffix}")
    if parts[2].lower() != suffix:
        msg = f"'{given}' does not end with {suffix}"
        raise RefusalError(msg)
    value = Decimal(parts[1]) / _PER_UNIT[suffix]
    if isinstance(kind, Whole) and value == int(value):
        return str(int(value))
    return f"{value:f}"


def _string(text: str) -> str:
    plain = plain_text(text)
    coded = "".join(f"\\{ord(c):02X}" if c in '"\\' else c for c in plain)
    return f'"{coded}"'


def _word(given: str, words: tuple[str, ...]) -> str:
    if not given.isdecimal() or int(given[:9]) >= len(words):
        msg = f"'{given}' is not one of 0 to {len(words) - 1}"
        raise RefusalError(msg)
    return words[int(given)]


def _lettered(given: str) -> dict[str, str]:
    given = given.upper()
    values = {found[1]: found[2] for found in _LETTERED.finditer(given)}
    if "".join(f"{letter}{text}" for letter, text in values.items()) != given:
        msg = f"'{given}' is not letters with a value each"
        raise RefusalError(msg)
    return values


def _form(form: re.Pattern[str], given: str, wanted: str) -> re.Match[str]:
    found = form.fullmatch(given)
    if found is None:
        msg = f"'{given}' is not {wanted}"
        raise RefusalError(msg)
    return found


def _range(setting: "Setting") -> str:
    match setting.kind:
        case Whole(low=low, high=high):
            ends = (spell(setting, str(low)), spell(setting, str(high)))
        case Fraction(low=low, high=high):
            ends = (spell(setting, low), spell(setting, high))
        case Row(low=low, high=high, count=count):
            return ",".join([f"({low}-{high})"] * count)
        case Choice(words=words):
            ends = ("0", str(len(words) - 1))
        case Switch():
            ends = ("0", "1")
        case _:
            return '("")'
    return f"({ends[0]}-{ends[1]})"

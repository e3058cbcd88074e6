"""How a console names the aircraft's settings and spells their values, both ways."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final, final

from .quantities import Choice, RefusalError, Row, Switch, Text, quoted
from .settings import Owner, Setting

if TYPE_CHECKING:
    from .aircraft import Aircraft
    from .quantities import Kind

UNITS: Final = {
    "_deg_s": "deg/s",
    "_us": "us",
    "_pct": "%",
    "_deg": "deg",
    "_hz": "Hz",
    "_ms": "ms",
    "_mm": "mm",
    "_g": "g",
    "_v": "V",
    "_mah": "mAh",
    "_mg": "mg",
    "_dps": "dps",
    "_mgauss": "mG",
    "_s": "s",
}
"""Ends of canonical names, and the unit as printed; a longer end stands first."""

# A pulse span and the angle it makes would have one name without their units.
_ANGLES: Final = {"aft_deg": "aft_angle_deg", "fore_deg": "fore_angle_deg"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Parted:
    """A canonical name taken apart: `tilt.left` / `centre` / `us`."""

    path: str
    stem: str
    unit: str
    """Empty when the value has none."""


def part(name: str) -> Parted:
    """Take a canonical name apart."""
    path, _, last = name.rpartition(".")
    last = _ANGLES.get(last, last)
    for end, unit in UNITS.items():
        if last.endswith(end):
            return Parted(path=path, stem=last.removesuffix(end), unit=unit)
    return Parted(path=path, stem=last, unit="")


@final
class Names:
    """A console's names of the settings, one to one."""

    def __init__(
        self, settings: Iterable[Setting], spell: Callable[[str], str]
    ) -> None:
        self.of: dict[str, str] = {s.name: spell(s.name) for s in settings}
        """Spelled name of a canonical one."""
        self.canonical: dict[str, str] = {
            spelled: name for name, spelled in self.of.items()
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Values:
    """A console's words for values; numbers are spelled as they are."""

    yes: str
    no: str
    between: str
    """Parts the numbers of a row."""
    hyphen: str = "-"
    """Stands for the hyphen in a choice."""
    opens: str = ""
    closes: str = ""
    """Around a text."""
    unset: str | None = None
    """Stands for an empty text."""

    def spell(self, kind: "Kind", value: str) -> str:
        """A canonical value as this console lists it."""
        match kind:
            case Switch():
                return self.yes if value == "yes" else self.no
            case Row():
                return value.replace(",", self.between)
            case Choice():
                return value.replace("-", self.hyphen)
            case Text():
                return self._spell_text(unquoted(value))
            case _:
                return value

    def read(self, kind: "Kind", given: str) -> str:
        """The canonical value of a spelled one. Raises `RefusalError`."""
        match kind:
            case Switch():
                return self._read_switch(given)
            case Row():
                return ",".join(given.split(self.between))
            case Choice(words=words):
                return self._read_choice(words, given)
            case Text():
                return quoted(self._read_text(given))
            case _:
                return given

    def _spell_text(self, plain: str) -> str:
        if not plain and self.unset is not None:
            return self.unset
        return f"{self.opens}{plain}{self.closes}"

    def _read_switch(self, given: str) -> str:
        words = {self.yes: "yes", self.no: "no"}
        if given not in words:
            msg = f"'{given}' is not {self.yes} or {self.no}"
            raise RefusalError(msg)
        return words[given]

    def _read_choice(self, words: tuple[str, ...], given: str) -> str:
        known = {word.replace("-", self.hyphen): word for word in words}
        if given not in known:
            msg = f"'{given}' is not one of {', '.join(known)}"
            raise RefusalError(msg)
        return known[given]

    def _read_text(self, given: str) -> str:
        if given == self.unset:
            return ""
        plain = given.removeprefix(self.opens).removesuffix(self.closes)
        # A closing mark inside would end the text early when it is listed.
        if self._spell_text(plain) != given or (self.closes and self.closes in plain):
            raise RefusalError(self._text_form())
        return plain

    def _text_form(self) -> str:
        if self.opens:
            return f"a text stands between {self.opens} and {self.closes}"
        return f"a text is needed, {self.unset} for none"


def unquoted(value: str) -> str:
    """The plain text of a canonical text value."""
    plain, escaped = [], False
    for character in value[1:-1]:
        escaped = character == "\\" and not escaped
        if not escaped:
            plain.append(character)
    return "".join(plain)


def write(
    aircraft: "Aircraft", names: Mapping[str, str], name: str, value: str, *, yes: str
) -> str | None:
    """Change a setting by its canonical name; refusals name it as `names` does.

    Returns:
        What to note when the value was not taken as asked.

    Raises:
        RefusalError: Read-only, locked by another setting, or no value.
    """
    setting = aircraft.settings[name]
    if setting.owner is Owner.MAKER:
        msg = f"{names[name]} is fixed by the maker"
        raise RefusalError(msg)
    if setting.needs is not None and aircraft.live[setting.needs] != "yes":
        msg = f"{names[setting.needs]} must be {yes} first"
        raise RefusalError(msg)
    return aircraft.write(name, value)


def typed_as(console: str, settings: tuple[Setting, ...]) -> tuple[Setting, ...]:
    """The settings, with the console's name as the type of the board."""
    return tuple(
        replace(s, factory=quoted(console)) if s.name == "board.type" else s
        for s in settings
    )


def plate(aircraft: "Aircraft", fact: str) -> str:
    """One fact of the maker's plate, such as `number`, without quotes."""
    return unquoted(aircraft.live[f"board.{fact}"])

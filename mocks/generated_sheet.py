"""How a made-up console names, spells and lists its settings."""

import re
from decimal import Decimal
from functools import cache
from itertools import groupby
from string import ascii_uppercase
from typing import TYPE_CHECKING, Final, final

from .generated_plan import Listing, Naming, Plan
from .quantities import Fraction, RefusalError, Whole
from .settings import Owner
from .spelling import Names, Values, part

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from .aircraft import Aircraft
    from .settings import Setting

COLUMNS: Final = {"name": 36, "value": 44, "unit": 8, "note": 6}
"""Width of each column, with the blank behind it."""
NOTES: Final = {Owner.BUILDER: "", Owner.MAKER: "fixed", Owner.CALIBRATION: "own"}

_HEX: Final = re.compile(r"pack\.capacity_mah|radio\.failsafe\.throttle_us|.*\.rate_hz")
_HEX_DIGITS: Final = re.compile("(?:0x)?([0-9A-Fa-f]{1,7})h?")
_MILLI: Final = re.compile("([+-]?[0-9]{1,8})m")
_JOINS: Final = {
    Naming.DOTTED: (".", "_"),
    Naming.SLASHED: ("/", "-"),
    Naming.SPACED: (" ", " "),
    Naming.UPPER: ("_", "_"),
}
"""Between the parts of a path, between the words of a part."""


@final
class Sheet:
    """The settings of one console in front of one aircraft."""

    def __init__(self, plan: Plan, aircraft: "Aircraft") -> None:
        self.settings = [
            aircraft.settings[name] for name in plan.names if name in aircraft.settings
        ]
        self.names = Names(self.settings, lambda name: full_name(plan, name))
        self.values = Values(
            yes=plan.switch[0],
            no=plan.switch[1],
            between=",",
            opens='"' if plan.quotes else "",
            closes='"' if plan.quotes else "",
            unset=plan.unset,
        )
        self._plan = plan
        self._aircraft = aircraft

    def spell(self, setting: "Setting", text: str) -> str:
        """A canonical value as listed."""
        if is_hex(self._plan, setting) and self._plan.hex_form is not None:
            return self._plan.hex_form.format(int(text))
        if is_milli(self._plan, setting):
            return f"{Decimal(text) * 1000:.0f}m"
        return self.values.spell(setting.kind, text)

    def read(self, setting: "Setting", given: str) -> str:
        """The canonical value of a spelled one. Raises `RefusalError`."""
        if is_hex(self._plan, setting):
            return str(int(_form(_HEX_DIGITS, given), 16))
        if is_milli(self._plan, setting):
            return f"{Decimal(_form(_MILLI, given)) / 1000:f}"
        return self.values.read(setting.kind, given)

    def spelled(self, values: "Mapping[str, str]") -> dict[str, str]:
        """Names and values of all settings, as this console spells them."""
        return {
            self.names.of[s.name]: self.spell(s, values[s.name]) for s in self.settings
        }

    def one(self, setting: "Setting", now_us: int) -> str:
        """One setting as the list has it; where it has no line for it, as a pair."""
        match self._plan.listing:
            case Listing.COLUMNS:
                return self._columns(self._cells(setting, now_us))
            case Listing.FIELDS | Listing.LETTERS:
                thing, field = thing_and_field(self._plan, setting.name)
                return self._fields(thing, [(field, self._value(setting, now_us))])
            case Listing.SENTENCES:
                return self._sentence(setting, now_us)
            case _:
                return self._pair(self.names.of[setting.name], setting, now_us)

    def lines(self, now_us: int) -> list[str]:
        """The whole list."""
        shapes = {
            Listing.COLUMNS: self._table,
            Listing.FIELDS: self._things,
            Listing.LETTERS: self._things,
            Listing.HEADINGS: self._headed,
        }
        shape = shapes.get(self._plan.listing, self._one_by_one)
        lines = list(shape(now_us))
        count = str(len(self.settings))
        first, last = (e.replace("{n}", count) for e in self._plan.list_ends)
        return [*([first] if first else []), *lines, *([last] if last else [])]

    def bare(self, setting: "Setting", now_us: int) -> str:
        """The value alone."""
        return self._value(setting, now_us)

    def _value(self, setting: "Setting", now_us: int) -> str:
        return self.spell(setting, self._aircraft.value(setting.name, now_us))

    def _one_by_one(self, now_us: int) -> "Iterator[str]":
        marks = dict(zip(Owner, self._marks(), strict=True))
        return (marks[s.owner] + self.one(s, now_us) for s in self.settings)

    def _marks(self) -> tuple[str, str, str]:
        """In the order of `Owner`: builder, calibration, maker."""
        if self._plan.listing is not Listing.PAIRS:
            return ("", "", "")
        ordinary, fixed, own = self._plan.marks
        return (ordinary, own, fixed)

    def _pair(self, name: str, setting: "Setting", now_us: int) -> str:
        return f"{name}{self._plan.separator}{self._value(setting, now_us)}"

    def _sentence(self, setting: "Setting", now_us: int) -> str:
        unit = part(setting.name).unit
        return self._plan.sentence[0 if unit else 1].format(
            name=self.names.of[setting.name],
            value=self._value(setting, now_us),
            unit=unit,
        )

    def _table(self, now_us: int) -> "Iterator[str]":
        yield self._columns({name: name for name in COLUMNS})
        yield self._columns({name: "-" * (w - 1) for name, w in COLUMNS.items()})
        for setting in self.settings:
            yield self._columns(self._cells(setting, now_us))

    def _cells(self, setting: "Setting", now_us: int) -> dict[str, str]:
        return {
            "name": self.names.of[setting.name],
            "value": self._value(setting, now_us),
            "unit": part(setting.name).unit,
            "note": NOTES[setting.owner],
        }

    def _columns(self, cells: dict[str, str]) -> str:
        placed = []
        for name in column_order(self._plan):
            width = COLUMNS[name] - 1
            right = name == "value" and self._plan.value_right
            cell = cells[name]
            placed.append(cell.rjust(width) if right else cell.ljust(width))
        return " ".join(placed).rstrip(" ")

    def _things(self, now_us: int) -> "Iterator[str]":
        for thing, settings in self._grouped():
            fields = [
                (thing_and_field(self._plan, s.name)[1], self._value(s, now_us))
                for s in settings
            ]
            yield self._fields(thing, fields)

    def _fields(self, thing: str, fields: list[tuple[str, str]]) -> str:
        plan = self._plan
        told = (f"{field}{plan.assign}{value}" for field, value in fields)
        return f"{thing}{plan.thing_end}{plan.field_joiner.join(told)}"

    def _headed(self, now_us: int) -> "Iterator[str]":
        plan = self._plan
        for thing, settings in self._grouped():
            yield plan.heading.format(thing=thing)
            for setting in settings:
                field = thing_and_field(plan, setting.name)[1]
                yield plan.indent + self._pair(field, setting, now_us)

    def _grouped(self) -> "Iterator[tuple[str, list[Setting]]]":
        groups = groupby(
            self.settings, lambda s: thing_and_field(self._plan, s.name)[0]
        )
        return ((thing, list(settings)) for thing, settings in groups)


def full_name(plan: Plan, name: str) -> str:
    """A canonical name as this console spells it."""
    return _JOINS[plan.naming][0].join(thing_and_field(plan, name))


def thing_and_field(plan: Plan, name: str) -> tuple[str, str]:
    """What stands before and in a line of fields, or over and under a heading."""
    if plan.listing is Listing.LETTERS:
        return _thing(plan, name), _letters(plan.naming, plan.names)[name]
    field = part(name).stem.replace("_", _JOINS[plan.naming][1])
    return _thing(plan, name), field.upper() if plan.naming is Naming.UPPER else field


def _thing(plan: Plan, name: str) -> str:
    between_parts, between_words = _JOINS[plan.naming]
    path = part(name).path
    thing = path.replace("_", between_words).replace(".", between_parts)
    return thing.upper() if plan.naming is Naming.UPPER else thing


@cache
def _letters(naming: Naming, names: tuple[str, ...]) -> dict[str, str]:
    """The letter of each setting: A for the first of its thing, B for the next."""
    between = _JOINS[naming]
    counts: dict[str, int] = {}
    letters = {}
    for name in names:
        thing = part(name).path.replace("_", between[1]).replace(".", between[0])
        letters[name] = ascii_uppercase[counts.get(thing, 0)]
        counts[thing] = counts.get(thing, 0) + 1
    return letters


def name_join(plan: Plan) -> str:
    """What makes a full name of a thing and its field."""
    return _JOINS[plan.naming][0]


def column_order(plan: Plan) -> tuple[str, ...]:
    """The columns from left to right."""
    middle = ("unit", "value") if plan.unit_first else ("value", "unit")
    return ("name", *middle, "note")


def is_hex(plan: Plan, setting: "Setting") -> bool:
    """Its number is spelled in hex."""
    whole = isinstance(setting.kind, Whole) and setting.kind.low >= 0
    return whole and plan.hex_form is not None and bool(_HEX.fullmatch(setting.name))


def is_milli(plan: Plan, setting: "Setting") -> bool:
    """Its number is spelled in thousandths with the suffix `m`."""
    volts = isinstance(setting.kind, Fraction) and setting.name.endswith("_v")
    return plan.milli_volts and volts


def _form(form: re.Pattern[str], given: str) -> str:
    found = form.fullmatch(given)
    if found is None:
        msg = f"'{given}' is not a number of the listed form"
        raise RefusalError(msg)
    return found[1]

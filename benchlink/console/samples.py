"""One line that would be written for each form and each spelling.

It shows at once that a scale stands upside down, or that a name is told otherwise.
"""

import re
from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import Final

from benchlink.console.codec import Codec
from benchlink.console.columns import Columns
from benchlink.console.description import Description, Source
from benchlink.console.forms import Block, Heading, Pair, Row
from benchlink.console.grammar import Grammar
from benchlink.console.round_trip import RoundTrip, round_trip
from benchlink.console.spelling import Where
from benchlink.core.intent import matches_any
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.values import (
    Number,
    Switch,
    Text,
    Value,
    Word,
    decimal_or_none,
)

Listed = Pair | Row | Columns | Block
"""The forms that hold settings."""
NAME: Final = "reed.height"
"""What is made up where nothing tells a name."""
VALUES: Final[tuple[Value, ...]] = (
    Number(Decimal("12.5")),
    Number(Decimal(12)),
    Text("reed 3"),
    Word("reed"),
    Switch(on=True),
)
"""What is made up, the first that the setting can hold."""
_WILD: Final = re.compile(r"\[(.)[^\]]*\]|[*?]")


def chosen(grammar: Grammar, trips: Iterable[RoundTrip]) -> tuple[RoundTrip, ...]:
    """One setting for each way in which this listing's settings are written."""
    found: dict[tuple[object, ...], RoundTrip] = {}
    for trip in trips:
        setting = trip.setting
        if trip.lines:
            found.setdefault((_kind(grammar, setting), type(setting.value)), trip)
    return tuple(found.values())


def made_up(grammar: Grammar) -> tuple[RoundTrip, ...]:
    """The same with made-up settings, where there is no listing."""
    found: dict[tuple[object, ...], RoundTrip] = {}
    for setting in _settings(grammar.description):
        trip = round_trip(grammar, setting, Snapshot(settings={setting.name: setting}))
        if trip.lines:
            found.setdefault(_kind(grammar, setting), trip)
    return tuple(found.values())


def _kind(grammar: Grammar, setting: Setting) -> tuple[object, ...]:
    """What is alike in settings of one form that are spelled by the same rules."""
    spelling = grammar.description.spelling
    codecs = tuple(spelling.rules_of(setting.name, where) for where in Where)
    by = tuple(sorted(setting.written_by.items()))
    return codecs, by, setting.cell, setting.partly, "thing" in setting.address


def _settings(description: Description) -> Iterator[Setting]:
    rules = [_literal(rule.names[0]) for rule in description.spelling.rules]
    for source in description.sources:
        forms = [form for form in source.forms if not isinstance(form, Heading)]
        for form in () if source.only_limits else forms:
            name = source.each[0] if source.each else NAME
            # A form that is written by the usual verb shows how values are spelled.
            plain = not isinstance(form, Row) and not form.traits.written_by
            for made in (name, *(rules if plain else ())):
                setting = _setting(description, source, form, made)
                if setting is not None:
                    yield setting


def _literal(pattern: str) -> str:
    """A name that a pattern takes."""
    return _WILD.sub(lambda wild: wild.group(1) or "1", pattern)


def _setting(
    description: Description, source: Source, form: Listed, name: str
) -> Setting | None:
    traits = form.traits
    thing, key = name, name
    if isinstance(form, Row):
        thing, _, key = name.rpartition(form.join)
        thing, key = (thing, key) if thing else (name, "H")
        name = form.join.join((thing, key))
    raw = _raw(form, description.spelling.codec(name, Where.LIST))
    if raw is None:
        return None
    value = description.spelling.codec(name, Where.LIST).read(raw)
    address = {"name": name, "own": key, "key": key, "letter": key[:1].upper()}
    if isinstance(form, Row) or (isinstance(form, Pair) and form.headed):
        address["thing"] = thing
    if source.banks is not None:
        address["bank"] = next(iter(source.banks.names), "1")
    return Setting(
        name=name,
        value=value,
        raw=raw,
        writable=traits.writable and not matches_any(description.read_only, name),
        address=address,
        written_by=traits.written_by,
        together=thing if traits.cell else "",
        partly=traits.whole is None,
        cell=traits.cell,
        between=traits.between,
    )


def _raw(form: Listed, codec: Codec) -> str | None:
    """A value as it is listed."""
    if isinstance(form, Pair) and "value" not in form.template.fields:
        return form.value or ""
    told = [decimal_or_none(number) for number in codec.words.values()]
    numbers = tuple(Number(number) for number in told if number is not None)
    for value in (*numbers, *VALUES):
        try:
            return codec.write(value)
        except ValueError:
            continue
    return None

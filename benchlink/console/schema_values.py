"""Reading how values are spelled: the console's codec, and the exceptions to it."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Final

from benchlink.console.charset import Charset
from benchlink.console.clock import Clock
from benchlink.console.codec import Codec, Kind
from benchlink.console.scaling import Scale, scale_or_none
from benchlink.console.schema_lines import plain, words, yes
from benchlink.console.spelling import EVERYWHERE, Rule, Spelling, Where
from benchlink.core.document import Scalar, TableReader

TEXTS: Final = ("on", "off", "separator", "reserved", "prefix", "suffix", "unset")
OUTSIDE: Final = "reserved-outside-quotes"
ESCAPES: Final = {"plain": False, "hex": True}
FIELDS: Final = {OUTSIDE: "reserved_outside", "escapes": "hex_escapes"}
"""Fields of a `Codec` that are not named as their keys are."""
LENGTHS: Final = {"quote": 2, "escape": 1}
"""Keys of single characters, and how many they may be."""
KINDS: Final = {kind.value: kind for kind in Kind}
CLOCKS: Final = {clock.value: clock for clock in Clock}
RADIX: Final = {"2": 2, "8": 8, "10": 10, "16": 16}
PLACES: Final = {where.value: where for where in Where}


def spelling_of(reader: TableReader, charset: Charset) -> Spelling:
    """`values:` and `spelling:` of a description."""
    values = reader.table("values", "values")
    base = Codec(charset=charset)
    if values is not None:
        base = replace(base, **codec_fields(values))  # type: ignore[arg-type]
        values.finish()
    rules = tuple(_rule(row) for row in reader.tables("spelling", "a spelling"))
    return Spelling(base, rules)


def _rule(row: TableReader) -> Rule:
    names = plain(row, "names")
    where = [PLACES[text] for text in plain(row, "in") if _known(row, text)]
    changes = codec_fields(row)
    row.finish()
    if not names or not changes:
        row.problems.add(row.place, "a spelling needs `names:` and what is different")
    return Rule(names=names, where=frozenset(where) or EVERYWHERE, changes=changes)


def _known(row: TableReader, text: str) -> bool:
    if text not in PLACES:
        allowed = ", ".join(PLACES)
        row.problems.add(row.place, f"`in:` lists {allowed}, not {text!r}")
    return text in PLACES


def codec_fields(reader: TableReader) -> dict[str, object]:
    """The fields of a `Codec` that this table sets."""
    fields: dict[str, object] = {}
    for key in (*TEXTS, OUTSIDE, *LENGTHS):
        node = reader.take(key)
        if isinstance(node, Scalar):
            fields[FIELDS.get(key, key)] = node.text
            if len(node.text) > LENGTHS.get(key, len(node.text)):
                reader.problems.add(
                    node.place,
                    f"`{key}:` is at most {LENGTHS[key]} characters, not {node.text!r}",
                )
        elif node is not None:
            reader.problems.add(node.place, f"`{key}:` must be text")
    for key, read in _OTHERS.items():
        if reader.has(key):
            fields[FIELDS.get(key, key)] = read(reader, key)
    return fields


def _scale(reader: TableReader, key: str) -> Scale:
    return _scale_of(reader, key, reader.text(key))


def _units(reader: TableReader, key: str) -> Mapping[str, Scale]:
    return {
        suffix: _scale_of(reader, key, text)
        for suffix, text in words(reader, key).items()
    }


def _scale_of(reader: TableReader, key: str, text: str) -> Scale:
    scale = scale_or_none(text)
    if scale is None:
        reader.problems.add(
            reader.place,
            f"`{key}:` must be a number above 0, or a ratio like 1/60, not {text!r}",
        )
        return Decimal(1)
    return scale


_OTHERS: Final[dict[str, Callable[[TableReader, str], object]]] = {
    "kind": lambda reader, key: reader.choice(key, KINDS, Kind.WORD),
    "radix": lambda reader, key: reader.choice(key, RADIX, 10),
    "digits": lambda reader, key: reader.whole(key, 0),
    "places": lambda reader, key: reader.whole(key, 0),
    "scale": _scale,
    "units": _units,
    "clock": lambda reader, key: reader.choice(key, CLOCKS, Clock.HOURS_MINUTES),
    "exponents": lambda reader, key: yes(reader, key, default=False),
    "escapes": lambda reader, key: reader.choice(key, ESCAPES, default=False),
    "words": words,
}

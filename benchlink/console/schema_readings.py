"""Reading what a console can tell of the aircraft: questions, and fields of answers."""

from collections.abc import Iterator, Mapping
from typing import Final

from benchlink.console.description import Asking, Verb
from benchlink.console.gauge import Gauge
from benchlink.console.schema_lines import plain, yes
from benchlink.console.schema_verbs import verb_of
from benchlink.console.template import Template
from benchlink.core.document import TableReader, nearest
from benchlink.core.exchange import AnswerForm
from benchlink.core.readings import MEASURES, NUMBERED, Quantity

QUANTITIES: Final = {quantity.value: quantity for quantity in Quantity}
UNREAD: Final = frozenset({"anything", "remark"})
"""Fields that hold nothing that anybody wants."""


def readings_of(reader: TableReader, base: AnswerForm) -> tuple[Asking, ...]:
    """All questions for readings."""
    rows = reader.tables("readings", "a question of `readings:`")
    return tuple(_asking(row, base) for row in rows)


def _asking(row: TableReader, base: AnswerForm) -> Asking:
    fields = row.table("fields", f"`fields:` of {row.what}")
    unmeasured = plain(row, "unmeasured")
    verb = verb_of(row, base, frozenset(), alone=False)
    forms = _forms(verb)
    if not forms:
        row.problems.add(row.place, f"{row.what} needs `gives:`")
    if fields is None:
        row.problems.add(row.place, f"{row.what} needs `fields:`")
        return Asking(verb=verb, gauges={}, unmeasured=unmeasured)
    gauges: dict[str, Gauge] = {}
    told = {name for form in forms for name in form.fields}
    for entry in fields.entries():
        name = entry.key.text
        table = TableReader(entry.value, row.problems, f"the field {name}")
        gauge = _gauge(name, table)
        if name not in told:
            near = nearest(name, told)
            meant = f"; `fields:` has to name {near}" if near else ""
            row.problems.add(
                entry.key.place, f"no line of `gives:` has {{{name}}}{meant}"
            )
        if gauge is not None:
            gauges[name] = gauge
    _check_forms(row, forms, gauges, {e for e in told if e not in gauges})
    return Asking(verb=verb, gauges=gauges, unmeasured=unmeasured)


def _forms(verb: Verb) -> tuple[Template, ...]:
    return (*verb.gives, *(form for step in verb.steps for form in step.gives))


def _gauge(name: str, table: TableReader) -> Gauge | None:
    """How one field is read; None where it is not said what it holds."""
    own = QUANTITIES.get(name.replace("_", "-"))
    if own is None and not table.has("is"):
        table.problems.add(
            table.place,
            f"{table.what} needs `is:`, what it holds: {', '.join(QUANTITIES)}",
        )
    # A wrong word is told by `choice`; what it would have been does not matter then.
    quantity = table.choice("is", QUANTITIES, own or Quantity.ROLL)
    units = MEASURES[quantity].units
    if not table.has("unit"):
        table.problems.add(
            table.place, f"{table.what} needs `unit:`: {', '.join(units)}"
        )
    gauge = Gauge(
        quantity=quantity,
        unit=table.choice("unit", units, units[MEASURES[quantity].unit]),
        scale=table.number("scale", 1.0),
        reversed=yes(table, "reversed", default=False),
        index=table.text("index"),
        first=table.whole("counts-from", 1),
        number=table.whole("number", 0, least=1),
        split=table.text("split"),
    )
    table.finish()
    _check_numbering(table, gauge)
    return gauge


def _check_numbering(table: TableReader, gauge: Gauge) -> None:
    ways = [
        key
        for key, is_given in (
            ("index", bool(gauge.index)),
            ("number", bool(gauge.number)),
            ("split", bool(gauge.split)),
        )
        if is_given
    ]
    told = ""
    if gauge.quantity not in NUMBERED:
        if ways:
            told = f"there is one {gauge.quantity.value}: no `{ways[0]}:`"
    elif len(ways) > 1:
        told = f"`{ways[0]}:` or `{ways[1]}:` tells which one it is, not both"
    if told:
        table.problems.add(table.place, f"{table.what}: {told}")


def _check_forms(
    row: TableReader,
    forms: tuple[Template, ...],
    gauges: Mapping[str, Gauge],
    others: set[str],
) -> None:
    """Every field of a line is read, tells which one it is, or is told to be nothing."""
    indexes = {gauge.index for gauge in gauges.values() if gauge.index}
    for form, name in _fields(forms):
        gauge = gauges.get(name)
        place = form.place or row.place
        if gauge is not None and gauge.index and gauge.index not in form.fields:
            row.problems.add(
                place, f"{form.source!r} has no {{{gauge.index}}}, the index of {name}"
            )
        if gauge is None and name in others - indexes - UNREAD:
            near = nearest(name, gauges)
            meant = f"; write {{{near}}}" if near else ""
            row.problems.add(
                place,
                f"nobody says what {{{name}}} holds: name it under `fields:`{meant}, or"
                " write {anything} for what does not matter",
            )


def _fields(forms: tuple[Template, ...]) -> Iterator[tuple[Template, str]]:
    for form in forms:
        for name in form.fields:
            yield form, name

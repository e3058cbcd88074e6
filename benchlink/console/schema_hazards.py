"""Reading `hazards:`: how a console takes a line apart, and what must not slip by."""

from dataclasses import dataclass
from typing import Final

from benchlink.console.hazard_rules import HazardRules, Held, LineKind
from benchlink.console.schema_lines import plain, templates, yes
from benchlink.console.template import Template
from benchlink.core.document import TableReader
from benchlink.core.hazard import Hazard
from benchlink.errors import Place

KINDS: Final = {kind.value: kind for kind in LineKind}
CASES: Final = {"exact": False, "ignored": True}
WHAT: Final = {
    "moves-servo": Hazard.SERVO,
    "moves-motor": Hazard.MOTOR,
    "cuts-link": Hazard.LINK,
    "restarts": Hazard.RESTARTS,
    "erases": Hazard.ERASES,
}
MOVING: Final = frozenset({Hazard.SERVO, Hazard.MOTOR})
FREE: Final = frozenset({"anything"})


@dataclass(frozen=True, slots=True)
class _Preset:
    """What a standard lays down, so that no file has to say it."""

    separator: str = ""
    ignores_case: bool = False
    repeats: tuple[str, ...] = ()


PRESETS: Final = {
    LineKind.PLAIN: _Preset(),
    LineKind.MESSAGE: _Preset(separator=";", ignores_case=True),
    LineKind.COMMAND_LINE: _Preset(separator=";", ignores_case=True, repeats=("A/",)),
}
LAID_DOWN: Final = ("case", "shortest", "separator")
"""Keys that only a plain console has a say in."""


def hazards_of(reader: TableReader) -> HazardRules | None:
    """`hazards:` of a description; None where it has none: every line is unknown."""
    table = reader.table("hazards", "hazards")
    if table is None:
        return None
    kind = table.choice("commands", KINDS, LineKind.PLAIN)
    preset = PRESETS[kind]
    for key in LAID_DOWN:
        if kind is not LineKind.PLAIN and table.has(key):
            table.problems.add(table.place, f"`{key}:` is laid down by {kind.value}")
    rules = HazardRules(
        kind=kind,
        ignores_case=table.choice("case", CASES, preset.ignores_case),
        shortest=table.whole("shortest", 0),
        separator=table.text("separator", preset.separator),
        comment=table.text("comment"),
        expands=table.text("expands"),
        repeats=(*preset.repeats, *plain(table, "repeats")),
        harmless=_lines(table, "harmless"),
        held=tuple(_held(row) for row in table.tables("held", "a row of `held:`")),
        place=table.place,
    )
    table.finish()
    return rules


def _held(row: TableReader) -> Held:
    if not row.has("what"):
        row.problems.add(row.place, f"{row.what} needs `what:`")
    held = Held(
        what=row.choice("what", WHAT, Hazard.UNKNOWN),
        lines=_lines(row, "lines"),
        settings=plain(row, "settings"),
        alone_last=yes(row, "alone-last", default=False),
        why=row.text("why"),
        place=row.place,
    )
    row.finish()
    wrong = {
        f"{row.what} needs `lines:` or `settings:`": (
            not held.lines and not held.settings
        ),
        "settings that move something stand under `moving:`": (
            bool(held.settings) and held.what in MOVING
        ),
        "`alone-last:` goes with `settings:` and `what: cuts-link`": (
            held.alone_last and not (held.settings and held.what is Hazard.LINK)
        ),
    }
    for text, is_wrong in wrong.items():
        if is_wrong:
            row.problems.add(row.place, text)
    return held


def _lines(reader: TableReader, key: str) -> tuple[Template, ...]:
    found = templates(reader, key)
    for line in found:
        place = line.place or Place("", 0)
        if not set(line.fields) <= FREE:
            reader.problems.add(
                place, f"`{key}:` takes {{anything}} and no other field"
            )
        elif not any(char.isalnum() for char in line.source.replace("{anything}", "")):
            reader.problems.add(place, f"`{key}:` {line.source!r} would be every line")
    return found

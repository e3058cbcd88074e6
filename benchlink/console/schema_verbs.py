"""Reading verbs and their steps: what is sent, and how the answer to it ends."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from benchlink.console.description import Step, Verb
from benchlink.console.schema_lines import seconds, template_of, templates, yes
from benchlink.core.document import Scalar, TableReader
from benchlink.core.exchange import AnswerForm, Ending
from benchlink.core.plan import Moves

ENDINGS: Final = {ending.value: ending for ending in Ending}
SUCCESS: Final = {"words": True, "silence": False}
MOVES: Final = {moves.value: moves for moves in Moves}
MARKED: Final = {
    Ending.CLOSING: "closing",
    Ending.COUNT: "header",
    Ending.SHOWS: "shows",
}
"""Endings that need templates, and the key under which those stand."""

WRITE_FIELDS: Final = frozenset(
    {"name", "own", "thing", "key", "letter", "bank", "value", "cells"}
)
FIELDS: Final[Mapping[str, frozenset[str]]] = {
    "identify": frozenset(),
    "readiness": frozenset(),
    "read": frozenset({"name", "own", "thing", "key", "bank"}),
    "write": WRITE_FIELDS,
    "clear": WRITE_FIELDS,
    "keep": frozenset(),
    "drop": frozenset(),
    "factory": frozenset(),
    "restart": frozenset(),
    "stop": frozenset(),
    "blink": frozenset(),
}
"""The verbs, and the fields that the lines of each may have."""

ALONE: Final = frozenset({"keep", "drop", "factory", "restart"})
"""Verbs that are sent alone whether the file says so or not."""


def answer_form(reader: TableReader | None, base: AnswerForm) -> AnswerForm:
    """The answer keys of a table, over what holds for the console as a whole."""
    if reader is None:
        return base
    ends = reader.choice("ends", ENDINGS, base.ends)
    marks = base.marks
    for ending, key in MARKED.items():
        needed = {"count"} if ending is Ending.COUNT else ()
        found = templates(reader, key, needed, blank=ending is Ending.CLOSING)
        if found and ends is not ending:
            reader.problems.add(
                reader.place, f"`{key}:` goes with `ends: {ending.value}`"
            )
        elif ends is ending:
            marks = found or marks
            if not marks:
                reader.problems.add(
                    reader.place, f"`ends: {ending.value}` needs `{key}:`"
                )
    return replace(
        base,
        ends=ends,
        marks=marks,
        ok=templates(reader, "ok") or base.ok,
        noted=templates(reader, "noted") or base.noted,
        refused=templates(reader, "refused") or base.refused,
        again=templates(reader, "again") or base.again,
        failed=templates(reader, "failed") or base.failed,
        at_least=reader.whole("at-least", base.at_least),
        quiet=seconds(reader, "quiet-s", base.quiet),
        within=seconds(reader, "answer-within-s", base.within),
        needs_word=reader.choice("success", SUCCESS, base.needs_word),
    )


def verb_of(
    reader: TableReader, base: AnswerForm, fields: frozenset[str], *, alone: bool
) -> Verb:
    """One verb, as one line or as steps."""
    rows = reader.tables("steps", f"a step of {reader.what}")
    gives = templates(reader, "gives")
    split = reader.text("split")
    alone = yes(reader, "alone", default=alone) or alone
    mode = reader.text("mode")
    moves = reader.choice("moves", MOVES, Moves.NOTHING)
    steps = [step_of(row, base, fields) for row in rows]
    for row in rows:
        row.finish()
    if not rows:
        steps = [step_of(reader, base, fields)]
    reader.finish()
    return Verb(
        steps=tuple(step for step in steps if step),
        gives=gives,
        split=split,
        alone=alone,
        mode=mode,
        moves=moves,
    )


def step_of(
    reader: TableReader, base: AnswerForm, fields: frozenset[str] = frozenset()
) -> Step | None:
    """One line or key, and the answer to it."""
    key = reader.take("key")
    node = key if key is not None else reader.need("line")
    line = template_of(reader, node, only=fields)
    form = answer_form(reader, base)
    if line is None:
        return None
    gives = templates(reader, "gives")
    return Step(line=line, form=form, key=key is not None, gives=gives)


def bare_step(
    reader: TableReader, key: str, base: AnswerForm, fields: frozenset[str]
) -> Step | None:
    """A step written as its line alone, or as a table."""
    node = reader.need(key)
    if isinstance(node, Scalar) or node is None:
        line = template_of(reader, node, only=fields)
        return Step(line=line, form=base) if line else None
    table = TableReader(node, reader.problems, f"`{key}:`")
    step = step_of(table, base, fields)
    table.finish()
    return step


def verbs_of(reader: TableReader, base: AnswerForm) -> Mapping[str, Verb]:
    """All verbs; more ways to write are named `write-...`."""
    table = reader.table("verbs", "verbs")
    if table is None:
        reader.problems.add(reader.place, "a console description needs `verbs:`")
        return {}
    verbs: dict[str, Verb] = {}
    for name in (*FIELDS, *table.names_like("write-")):
        verb = table.table(name, f"verb {name}")
        if verb is not None:
            fields = FIELDS.get(name, WRITE_FIELDS)
            verbs[name] = verb_of(verb, base, fields, alone=name in ALONE)
    table.finish()
    return verbs

"""Reading verbs and their steps: what is sent, and how the answer to it ends."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from benchlink.console.description import Cue, Step, Verb
from benchlink.console.schema_lines import seconds, template_of, templates, yes
from benchlink.console.template import Template
from benchlink.core.document import Node, Scalar, TableReader
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

STEP_KEYS: Final = (
    "line",
    "key",
    "ends",
    *MARKED.values(),
    "ok",
    "noted",
    "refused",
    "again",
    "failed",
    "at-least",
    "quiet-s",
    "success",
    "answer-within-s",
)
"""What only a step can say."""

WRITE_FIELDS: Final = frozenset(
    {
        "name",
        "own",
        "thing",
        "key",
        "letter",
        "bank",
        "value",
        "cells",
        "cell",
        "line",
    }
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
    "why": frozenset(),
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
    has_way_out, way_out = _way_out(reader, base)
    steps = [step_of(row, base, fields) for row in rows]
    for row in rows:
        row.finish()
    if not rows:
        steps = [step_of(reader, base, fields)]
    else:
        _refuse_beside_steps(reader)
    reader.finish()
    lines = [step for step in steps if step and not step.key]
    if fields >= WRITE_FIELDS and len(lines) > 1 and not has_way_out:
        reader.problems.add(
            reader.place,
            f"{reader.what} takes several lines: it needs `give-up:`, which gets the"
            ' console out when one of them is refused (`""` where nothing stays open)',
        )
    return Verb(
        steps=tuple(step for step in steps if step),
        gives=gives,
        split=split,
        alone=alone,
        mode=mode,
        moves=moves,
        way_out=way_out,
    )


def _refuse_beside_steps(reader: TableReader) -> None:
    """How an answer ends is told by the step that gets it."""
    for key in STEP_KEYS:
        node = reader.take(key)
        if node is not None:
            reader.problems.add(
                node.place, f"{reader.what} has `steps:`: `{key}:` stands in each step"
            )


def _way_out(reader: TableReader, base: AnswerForm) -> tuple[bool, Step | None]:
    """Whether `give-up:` stands there, and what it sends."""
    node = reader.take("give-up")
    if node is None or (isinstance(node, Scalar) and not node.text):
        return node is not None, None
    return True, _bare(reader, node, "give-up", base, frozenset())


def ways_out(verbs: Mapping[str, Verb]) -> tuple[Cue, ...]:
    """How the verbs are ended that show that they go on."""
    return tuple(
        Cue(
            shows=mark,
            line=None if verb.way_out.key else verb.way_out.line,
            key=verb.way_out.line.source.encode(),
        )
        for verb in verbs.values()
        if verb.way_out is not None
        for step in verb.steps
        if step.form.ends is Ending.SHOWS
        for mark in step.form.marks
        if isinstance(mark, Template)
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
    return _bare(reader, reader.need(key), key, base, fields)


def _bare(
    reader: TableReader,
    node: Node | None,
    key: str,
    base: AnswerForm,
    fields: frozenset[str],
) -> Step | None:
    if isinstance(node, Scalar) or node is None:
        line = template_of(reader, node, only=fields)
        return Step(line=line, form=base) if line else None
    table = TableReader(node, reader.problems, f"`{key}:`")
    step = step_of(table, base, fields)
    table.finish()
    return step


def verbs_of(reader: TableReader, base: AnswerForm) -> Mapping[str, Verb]:
    """All verbs; more ways to write are named `write-...`, to read one `read-...`."""
    table = reader.table("verbs", "verbs")
    if table is None:
        reader.problems.add(reader.place, "a console description needs `verbs:`")
        return {}
    verbs: dict[str, Verb] = {}
    for name in (*FIELDS, *table.names_like("write-"), *table.names_like("read-")):
        verb = table.table(name, f"verb {name}")
        if verb is not None:
            reads = name.startswith("read-")
            fields = FIELDS.get("read" if reads else name, WRITE_FIELDS)
            verbs[name] = verb_of(verb, base, fields, alone=name in ALONE)
    table.finish()
    return verbs

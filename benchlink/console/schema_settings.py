"""Reading where settings come from: lists, names asked one by one, and banks."""

from collections.abc import Mapping
from typing import Final

from benchlink.console.description import BankNames, Banks, Source, Verb
from benchlink.console.forms import Heading
from benchlink.console.schema_forms import forms_of
from benchlink.console.schema_lines import plain, template_of, templates
from benchlink.console.schema_verbs import bare_step, verb_of
from benchlink.console.template import Template
from benchlink.core.document import TableReader
from benchlink.core.exchange import AnswerForm

COUNTED: Final = "{count}"
READ: Final = "read"


def sources_of(
    reader: TableReader, base: AnswerForm, verbs: Mapping[str, Verb]
) -> tuple[Source, ...]:
    """`settings:` of a description; one of `verbs` asks for a name where no line does."""
    rows = reader.tables("settings", "a source of settings")
    if not rows:
        reader.problems.add(reader.place, "a console description needs `settings:`")
    found = (_source(row, base, verbs) for row in rows)
    return tuple(source for source in found if source)


def _source(
    row: TableReader, base: AnswerForm, verbs: Mapping[str, Verb]
) -> Source | None:
    each, numbered = _each(row)
    read_by = row.text("read")
    ask = row.table("list", "`list:`")
    if ask is not None:
        fields = {"name"} if each or numbered else set[str]()
        fields |= {"bank"} if row.has("banks") else set()
        verb = verb_of(ask, base, frozenset(fields), alone=False)
    elif (each or numbered) and (read_by or READ) in verbs:
        verb = verbs[read_by or READ]
    else:
        row.problems.add(
            row.place, f"{row.what} needs `list:`, or `each:` and a `read`"
        )
        return None
    by_line = any("bank" in step.line.fields for step in verb.steps)
    if by_line and (each or numbered):
        row.problems.add(row.place, "{bank} in `list:` does not go with `each:`")
    banks, listed_banks = _banks(row, base, by_line=by_line)
    source = Source(
        ask=verb,
        each=each,
        numbered=numbered,
        split=row.text("split"),
        furniture=templates(row, "furniture"),
        forms=forms_of(row, read_by),
        banks=banks,
        listed_banks=listed_banks,
        only_limits=row.choice(
            "tells", {"values": False, "limits": True}, default=False
        ),
    )
    row.finish()
    if not source.forms:
        row.problems.add(row.place, f"{row.what} needs `forms:`")
    _check_reads(row, source, verbs)
    return source


def _check_reads(row: TableReader, source: Source, verbs: Mapping[str, Verb]) -> None:
    forms = (form for form in source.forms if not isinstance(form, Heading))
    for name in sorted({form.traits.read_by for form in forms} - {"", *verbs}):
        row.problems.add(row.place, f"`read:` names no verb: {name!r}")


def _each(row: TableReader) -> tuple[tuple[str, ...], tuple[Template, ...]]:
    """Names as they are, and those that stand for as many as the board has."""
    texts = row.texts("each")
    counted = [text for text in texts if COUNTED in text.text]
    forms = (template_of(row, text, only=frozenset({"count"})) for text in counted)
    each = tuple(text.text for text in texts if text not in counted)
    return each, tuple(form for form in forms if form)


def _banks(
    row: TableReader, base: AnswerForm, *, by_line: bool
) -> tuple[Banks | None, BankNames | None]:
    """Banks that are selected one by one, or such as the line of the list names."""
    table = row.table("banks", "`banks:`")
    if table is None:
        return None, None
    named = template_of(table, table.need("named"), {"bank", "name"})
    shown = templates(table, "shown", {"bank"})
    names, of = plain(table, "names"), plain(table, "of")
    banks, listed_banks = None, None
    if by_line:
        if named:
            listed_banks = BankNames(names=names, of=of, shown=shown, named=named)
    else:
        select = bare_step(table, "select", base, frozenset({"bank"}))
        if not shown:
            table.problems.add(
                table.place,
                "`banks:` needs `shown:`, or no line tells which one is listed",
            )
        if select and named:
            banks = Banks(names=names, of=of, select=select, shown=shown, named=named)
    table.finish()
    return banks, listed_banks

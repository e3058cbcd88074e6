"""Reading where settings come from: lists, names asked one by one, banks, and forms."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Final

from benchlink.console.description import Banks, Source, Verb
from benchlink.console.forms import (
    Block,
    CellStyle,
    Column,
    Columns,
    Form,
    Heading,
    Mark,
    Pair,
    Row,
    Traits,
)
from benchlink.console.schema_lines import plain, template_of, templates, words, yes
from benchlink.console.schema_verbs import bare_step, verb_of
from benchlink.console.template import Template
from benchlink.core.document import Problems, Scalar, TableReader
from benchlink.core.exchange import AnswerForm

STYLES: Final = {style.value: style for style in CellStyle}
MARKS: Final = {mark.value: mark for mark in Mark}
OTHER: Final = "*"
COUNTED: Final = "{count}"
PAIR: Final = 2
"""Fields of a cell: which it is, and what it holds."""


def sources_of(
    reader: TableReader, base: AnswerForm, read: Verb | None
) -> tuple[Source, ...]:
    """`settings:` of a description; `read` asks for one name where no line is given."""
    rows = reader.tables("settings", "a source of settings")
    if not rows:
        reader.problems.add(reader.place, "a console description needs `settings:`")
    found = (_source(row, base, read) for row in rows)
    return tuple(source for source in found if source)


def _source(row: TableReader, base: AnswerForm, read: Verb | None) -> Source | None:
    each, numbered = _each(row)
    ask = row.table("list", "`list:`")
    if ask is not None:
        fields = frozenset({"name"}) if each or numbered else frozenset[str]()
        verb = verb_of(ask, base, fields, alone=False)
    elif (each or numbered) and read:
        verb = read
    else:
        row.problems.add(
            row.place, f"{row.what} needs `list:`, or `each:` and a `read`"
        )
        return None
    source = Source(
        ask=verb,
        each=each,
        numbered=numbered,
        split=row.text("split"),
        furniture=templates(row, "furniture"),
        forms=_forms(row),
        banks=_banks(row, base),
        only_limits=row.choice(
            "tells", {"values": False, "limits": True}, default=False
        ),
    )
    row.finish()
    if not source.forms:
        row.problems.add(row.place, f"{row.what} needs `forms:`")
    return source


def _each(row: TableReader) -> tuple[tuple[str, ...], tuple[Template, ...]]:
    """Names as they are, and those that stand for as many as the board has."""
    texts = row.texts("each")
    counted = [text for text in texts if COUNTED in text.text]
    forms = (template_of(row, text, only=frozenset({"count"})) for text in counted)
    each = tuple(text.text for text in texts if text not in counted)
    return each, tuple(form for form in forms if form)


def _banks(row: TableReader, base: AnswerForm) -> Banks | None:
    table = row.table("banks", "`banks:`")
    if table is None:
        return None
    select = bare_step(table, "select", base, frozenset({"bank"}))
    named = template_of(table, table.need("named"), {"bank", "name"})
    shown = templates(table, "shown", {"bank"})
    if not shown:
        table.problems.add(
            table.place, "`banks:` needs `shown:`, or no line tells which one is listed"
        )
    banks = None
    if select and named:
        banks = Banks(
            names=plain(table, "names"),
            of=plain(table, "of"),
            select=select,
            shown=shown,
            named=named,
        )
    table.finish()
    return banks


def _forms(row: TableReader) -> tuple[Form, ...]:
    forms: list[Form] = []
    for table in row.tables("forms", "a form"):
        known = [key for key in _KINDS if table.has(key)]
        if len(known) != 1:
            allowed = ", ".join(_KINDS)
            table.problems.add(table.place, f"a form is one of {allowed}")
            continue
        form = _KINDS[known[0]](table, known[0])
        table.finish()
        if form:
            forms.append(form)
    return tuple(forms)


def _pair(table: TableReader, key: str) -> Form | None:
    form = template_of(table, table.take(key))
    value = table.text("value") if table.has("value") else None
    if form and value is None and "value" not in form.fields:
        table.problems.add(table.place, "a pair needs {value}, or `value:`")
    headed = yes(table, "headed", default=False)
    join = table.text("join", ".")
    traits = _traits(table)
    if form is None:
        return None
    return Pair(template=form, value=value, headed=headed, join=join, traits=traits)


def _row(table: TableReader, key: str) -> Form | None:
    form = template_of(table, table.take(key), {"cells"})
    style = table.choice("cells", STYLES, CellStyle.WORDS)
    join, quote = table.text("join", "."), table.text("quote")
    between, equals = table.text("between", " "), table.text("equals", "=")
    empty, absent = table.text("empty"), words(table, "absent")
    traits = replace(_traits(table), between=between)
    if not between or not equals:
        table.problems.add(table.place, "`between:` and `equals:` cannot be empty")
    if form is None:
        return None
    return Row(
        template=form,
        style=style,
        join=join,
        quote=quote,
        between=between or " ",
        equals=equals or "=",
        empty=empty,
        absent=absent,
        traits=traits,
    )


def _columns(table: TableReader, key: str) -> Form | None:
    columns = tuple(_column(row) for row in table.tables(key, "a column"))
    names = [column.name for column in columns]
    for needed in ("name", "value"):
        if needed not in names:
            table.problems.add(table.place, f"`columns:` needs one called {needed}")
    return Columns(columns=columns, traits=_traits(table), place=table.place)


def _column(row: TableReader) -> Column:
    column = Column(
        name=row.need_text("is"),
        first=row.whole("first", 1, least=1),
        last=row.whole("last", 0),
    )
    row.finish()
    return column


def _heading(table: TableReader, key: str) -> Form | None:
    form = template_of(table, table.take(key), {"part"})
    for below in ("headed", "join"):
        node = table.take(below)
        if node is not None:
            table.problems.add(
                node.place, f"`{below}:` stands with the forms below a heading"
            )
    return Heading(template=form) if form else None


def _block(table: TableReader, key: str) -> Form | None:
    opens = template_of(table, table.take(key))
    closes = template_of(table, table.need("closes"))
    traits = _traits(table)
    return (
        Block(opens=opens, closes=closes, traits=traits) if opens and closes else None
    )


_KINDS: Final[Mapping[str, Callable[[TableReader, str], Form | None]]] = {
    "pair": _pair,
    "row": _row,
    "columns": _columns,
    "heading": _heading,
    "block": _block,
}


def _traits(table: TableReader) -> Traits:
    marks: dict[str, Mark] = {}
    for text, meant in words(table, "marks").items():
        if meant in MARKS:
            marks[text] = MARKS[meant]
        else:
            allowed = ", ".join(MARKS)
            table.problems.add(table.place, f"a mark means {allowed}, not {meant!r}")
    return Traits(
        writable=yes(table, "writable", default=True),
        board_owned=yes(table, "board-owned", default=False),
        marks=marks,
        written_by=_written_by(table, table.problems),
        whole=_beside(table, "whole"),
        some=_beside(table, "some"),
    )


def _beside(table: TableReader, key: str) -> Template | None:
    """How a cell is written beside others: its key, or its letter, and its value."""
    cell = template_of(
        table, table.take(key), {"value"}, only=frozenset({"key", "letter", "value"})
    )
    if cell is not None and len(cell.fields) != PAIR:
        table.problems.add(
            table.place, f"`{key}:` needs {{key}} or {{letter}}, and {{value}}"
        )
    return cell


def _written_by(table: TableReader, problems: Problems) -> Mapping[str, str]:
    node = table.take("written-by")
    if node is None:
        return {}
    if isinstance(node, Scalar):
        return {OTHER: node.text}
    reader = TableReader(node, problems, "`written-by:`")
    return {
        entry.key.text: entry.value.text
        for entry in reader.entries()
        if isinstance(entry.value, Scalar)
    }

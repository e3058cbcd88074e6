"""Reading the forms in which a console lists settings."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Final

from benchlink.console.cells import THING, Mark, Traits
from benchlink.console.columns import Column, Columns
from benchlink.console.forms import Block, CellStyle, Form, Heading, Pair, Row
from benchlink.console.schema_lines import plain, template_of, words, yes
from benchlink.console.template import Literal, Template
from benchlink.core.document import Problems, Scalar, TableReader

STYLES: Final = {style.value: style for style in CellStyle}
MARKS: Final = {mark.value: mark for mark in Mark}
ALIGNED: Final = {"left": False, "right": True}
OTHER: Final = "*"
PAIR: Final = 2
"""Fields of a cell: which it is, and what it holds."""
ROW_ONLY: Final[Mapping[CellStyle, frozenset[str]]] = {
    CellStyle.VALUES: frozenset({"keys", "heads"}),
    CellStyle.FLAGS: frozenset({"keys", "listed", "unlisted"}),
}
"""Keys of a row that only go with some kinds of cells."""


def forms_of(row: TableReader, read_by: str) -> tuple[Form, ...]:
    """`forms:` of a source; `read_by` is the verb that reads one of its settings."""
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
            forms.append(_read_by(form, read_by))
    return tuple(forms)


def _read_by(form: Form, verb: str) -> Form:
    """The form, its settings read by the verb of the source where it names none."""
    if isinstance(form, Heading) or not verb or form.traits.read_by:
        return form
    return replace(form, traits=replace(form.traits, read_by=verb))


def _pair(table: TableReader, key: str) -> Form | None:
    form = template_of(table, table.take(key))
    value = table.text("value") if table.has("value") else None
    if form and value is None and "value" not in form.fields:
        table.problems.add(table.place, "a pair needs {value}, or `value:`")
    name = _name(table, form.fields if form else ())
    headed = yes(table, "headed", default=False)
    join = table.text("join", ".")
    traits = _traits(table)
    if form is None:
        return None
    return Pair(
        template=form, name=name, value=value, headed=headed, join=join, traits=traits
    )


def _row(table: TableReader, key: str) -> Form | None:
    form = template_of(table, table.take(key), {"cells"})
    style = table.choice("cells", STYLES, CellStyle.WORDS)
    _refuse_other_cells(table, style)
    join, quote = table.text("join", "."), table.text("quote")
    between, equals = table.text("between", " "), table.text("equals", "=")
    keys, heads = plain(table, "keys"), _heads(table, {"cells"})
    listed, unlisted = table.text("listed", "on"), table.text("unlisted", "off")
    empty = table.text("empty") if table.has("empty") else None
    absent = words(table, "absent")
    name = _name(table, {*(form.fields if form else ()), THING, "key"})
    in_order = style is CellStyle.VALUES and empty is None
    traits = replace(_traits(table, in_order=in_order), between=between)
    if not between or not equals:
        table.problems.add(table.place, "`between:` and `equals:` cannot be empty")
    if style is CellStyle.VALUES and bool(keys) == (heads is not None):
        table.problems.add(
            table.place, "`cells: values` needs `keys:`, or `heads:`, a line of names"
        )
    if len(set(keys)) != len(keys):
        table.problems.add(table.place, "`keys:` names one of them twice")
    if form is None:
        return None
    return Row(
        template=form,
        style=style,
        name=name,
        keys=keys,
        heads=heads,
        listed=listed,
        unlisted=unlisted,
        join=join,
        quote=quote,
        between=between or " ",
        equals=equals or "=",
        empty=empty,
        absent=absent,
        traits=traits,
    )


def _refuse_other_cells(table: TableReader, style: CellStyle) -> None:
    for key in sorted(frozenset[str]().union(*ROW_ONLY.values())):
        if table.has(key) and key not in ROW_ONLY.get(style, ()):
            fitting = (s.value for s, keys in ROW_ONLY.items() if key in keys)
            table.problems.add(
                table.place, f"`{key}:` goes with `cells: {' or '.join(fitting)}`"
            )


def _columns(table: TableReader, key: str) -> Form | None:
    heads = _heads(table, ())
    to_the_right = False
    columns: tuple[Column, ...] = ()
    if heads is None:
        columns = tuple(_column(row) for row in table.tables(key, "a column"))
        _check_columns(table, columns)
    else:
        to_the_right = table.choice(key, ALIGNED, default=False)
    several = not columns or any(column.is_setting for column in columns)
    told = {c.name for c in columns if not c.is_setting}
    name = _name(table, told | ({THING, "key"} if several else set()))
    join = table.text("join", ".")
    empty = table.text("empty") if table.has("empty") else None
    traits = _traits(table, in_order=several and empty is None)
    return Columns(
        columns=tuple(_with_traits(column, traits) for column in columns),
        name=name,
        join=join,
        heads=heads,
        to_the_right=to_the_right,
        empty=empty,
        traits=traits,
        place=table.place,
    )


def _check_columns(table: TableReader, columns: tuple[Column, ...]) -> None:
    names = [column.name for column in columns]
    if any(column.is_setting for column in columns):
        if THING not in {c.name for c in columns if not c.is_setting}:
            table.problems.add(
                table.place, "`columns:` with a `key:` need one that `is: thing`"
            )
    else:
        for needed in ("name", "value"):
            if needed not in names:
                table.problems.add(
                    table.place, f"`columns:` needs one called {needed}, or a `key:`"
                )
    if len(set(names)) != len(names):
        table.problems.add(table.place, "`columns:` names one of them twice")


def _column(row: TableReader) -> Column:
    """A column of settings (`key:`), or one that tells something of its line (`is:`)."""
    is_setting = row.has("key")
    name = row.need_text("key") if is_setting else row.need_text("is")
    first, last = row.whole("first", 1, least=1), row.whole("last", 0)
    traits = None
    if is_setting and (row.has("writable") or row.has("written-by")):
        traits = Traits(
            writable=yes(row, "writable", default=True),
            written_by=_written_by(row, row.problems),
        )
    row.finish()
    return Column(
        name=name, first=first, last=last, is_setting=is_setting, traits=traits
    )


def _with_traits(column: Column, traits: Traits) -> Column:
    """A column's own traits are those of its form, but for what it says itself."""
    own = column.traits
    if own is None:
        return column
    written_by = own.written_by or traits.written_by
    writable = own.writable and traits.writable
    return replace(
        column, traits=replace(traits, writable=writable, written_by=written_by)
    )


def _heads(table: TableReader, needed: set[str] | tuple[str, ...]) -> Template | None:
    """The line that names what stands below it; text of its own tells it apart."""
    heads = template_of(table, table.take("heads"), needed)
    if heads is not None and not any(
        isinstance(part, Literal) and any(map(str.isalnum, part.text))
        for part in heads.parts
    ):
        table.problems.add(
            table.place, "`heads:` needs a word that stands in that line alone"
        )
    return heads


def _name(table: TableReader, fields: Iterable[str]) -> Template | None:
    return template_of(table, table.take("name"), only=frozenset(fields) - {"cells"})


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


def _traits(table: TableReader, *, in_order: bool = False) -> Traits:
    """What the settings of a form share; `in_order` where all cells always stand."""
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
        read_by=table.text("read"),
        whole=_beside(table, "whole", bare=in_order),
        some=_beside(table, "some"),
    )


def _beside(table: TableReader, key: str, *, bare: bool = False) -> Template | None:
    """How a cell is written beside others: its key, or its letter, and its value.

    `bare` values tell by their order alone which they are.
    """
    cell = template_of(
        table, table.take(key), {"value"}, only=frozenset({"key", "letter", "value"})
    )
    if cell is not None and len(cell.fields) != PAIR and not bare:
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

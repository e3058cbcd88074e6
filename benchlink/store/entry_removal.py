"""One entry taken out of a table of a profile's text; comments beside it stay."""

from benchlink.core.document import Entry, Table
from benchlink.store.entry_edit import EntryEdit
from benchlink.store.entry_nodes import entry_of, is_flow
from benchlink.store.yaml_tree import Span


def remove(edit: EntryEdit, entry: Entry) -> None:
    """Take it out; a table in lines goes with its last entry.

    Raises:
        FileError: a comment stands in the middle of it.
    """
    span = edit.parsed.span
    edit.refuse_comments(entry, _between(span(entry.key), span(entry.value)))
    table = edit.table
    if table is None:
        return
    if is_flow(table):
        _from_braces(edit, table, entry)
    elif len(table.entries) > 1:
        _lines(edit, entry)
    else:
        _last_lines(edit, entry)


def _from_braces(edit: EntryEdit, table: Table, entry: Entry) -> None:
    """With the comma that parts it from its neighbour."""
    span = edit.parsed.span
    key, value = span(entry.key), span(entry.value)
    at = table.entries.index(entry)
    if at:
        gap = _between(span(table.entries[at - 1].value), key)
        cut = Span(gap.line, gap.column, value.end_line, value.end_column)
    elif len(table.entries) > 1:
        gap = _between(value, span(table.entries[1].key))
        cut = Span(key.line, key.column, gap.end_line, gap.end_column)
    else:
        edit.draft.put(Span(key.line, key.column, value.end_line, value.end_column), "")
        return
    edit.refuse_comments(entry, gap)
    edit.draft.put(cut, "")


def _lines(edit: EntryEdit, entry: Entry) -> None:
    """The lines it stands on; a comment that ends them keeps its place."""
    key, value = edit.parsed.span(entry.key), edit.parsed.span(entry.value)
    last = edit.last_line(value)
    remark = _remark(edit, value)
    if remark:
        column = len(edit.draft.line(last)) - len(remark)
        edit.draft.put(Span(key.line, key.column, last, column), "")
    else:
        edit.draft.drop_lines(key.line, last)


def _last_lines(edit: EntryEdit, entry: Entry) -> None:
    """Its table goes too, unless comments would lose what they stand beside."""
    heading = entry_of(edit.parsed.root, edit.key)
    if heading is None:
        return
    key, value = edit.parsed.span(heading.key), edit.parsed.span(entry.value)
    line, last = edit.draft.line, edit.last_line(value)
    above = range(key.end_line + 1, edit.parsed.span(entry.key).line)
    below = line(last + 1)
    remarks = (
        line(key.end_line)[key.end_column :].strip() != ":",
        any(line(number).strip() for number in above),
        _remark(edit, value),
        below[:1].isspace() and below.strip(),
    )
    if not any(remarks):
        edit.draft.drop_lines(key.line, last)
        return
    _lines(edit, entry)
    colon = line(key.end_line).index(":", key.end_column) + 1
    edit.draft.put(Span(key.end_line, colon, key.end_line, colon), " {}")


def _remark(edit: EntryEdit, value: Span) -> str:
    """The comment that ends the line of a value."""
    if value.block:
        return ""
    return edit.draft.line(value.end_line)[value.end_column :].strip()


def _between(one: Span, other: Span) -> Span:
    return Span(one.end_line, one.end_column, other.line, other.column)

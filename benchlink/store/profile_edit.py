"""One setting of a profile's text changed or added; all else stays as it was typed."""

from dataclasses import dataclass
from typing import Final

from benchlink.core.document import Entry, Items, Node, Scalar, Table
from benchlink.errors import FileError
from benchlink.store.entry_edit import EntryEdit
from benchlink.store.entry_nodes import Plain, entry_of, is_flow, plain, table_of
from benchlink.store.notation import bare_or_quoted, quoted
from benchlink.store.strict_yaml import parse

_SETTINGS: Final = "settings"
_CHANGED: Final = {"value", "reason"}


def with_value(
    text: str, name: str, given: str, reason: str, source: str = "the profile"
) -> str:
    """The profile's text with one setting changed or added.

    Args:
        text: The whole profile.
        name: The setting.
        given: The value as a profile spells it: `50`, `on`, `[1, 2]`, free text.
        reason: Why; an empty one leaves the reason that is there.
        source: What to call the profile in messages.

    Raises:
        FileError: the profile has mistakes, or cannot be changed without touching
            more than this setting.
    """
    edit = EntryEdit(text, _SETTINGS, source)
    given_text = _spelled(given)
    entry = edit.entry(name)
    if entry is None:
        words = _value_for(given_text, reason)
        edit.insert(f"{bare_or_quoted(name)}: {words}")
    else:
        _change(edit, entry, given_text, reason)
    result, after = edit.proven(name)
    _prove(edit, after, name, _Wish(given_text, reason))
    return result


@dataclass(frozen=True, slots=True)
class _Wish:
    given_text: str
    reason: str


def _spelled(given: str) -> str:
    """What to write so that it reads back as the person meant it."""
    if not given:
        return quoted(given)
    try:
        node = parse(f"v: [{given}]", "the value").root
    except FileError:
        return quoted(given)
    value = node.get("v") if isinstance(node, Table) else None
    items = value.items if isinstance(value, Items) else ()
    only = items[0] if len(items) == 1 else None
    whole = "\n" not in given and given == given.strip()
    if not whole or only is None or isinstance(only, Table):
        return quoted(given)
    if isinstance(only, Scalar) and not only.quoted and only.text != given:
        return quoted(given)
    return given


def _value_for(given_text: str, reason: str) -> str:
    if not reason:
        return given_text
    return f"{{value: {given_text}, reason: {quoted(reason)}}}"


def _change(edit: EntryEdit, entry: Entry, given_text: str, reason: str) -> None:
    if not isinstance(entry.value, Table):
        edit.put(entry, _value_for(given_text, reason))
        return
    fields = {field.key.text: field for field in entry.value.entries}
    value = fields["value"]
    edit.put(value, given_text)
    if not reason:
        return
    if "reason" in fields:
        edit.put(fields["reason"], quoted(reason))
        return
    words = f"reason: {quoted(reason)}"
    span = edit.parsed.span
    if is_flow(entry.value):
        edit.draft.after(span(value.value), f", {words}")
    else:
        indent = " " * span(value.key).column
        edit.draft.lines_after(span(value.value).end_line, indent + words)


def _prove(edit: EntryEdit, after: Node, name: str, wish: _Wish) -> None:
    before = edit.parsed.root
    try:
        given = parse(wish.given_text, "the value").root
    except FileError as exc:
        raise edit.trouble(name) from exc
    _, old_reason = _value_and_reason(before, name)
    wanted = (plain(given), wish.reason or old_reason)
    if _value_and_reason(after, name) != wanted:
        raise edit.trouble(name)
    if _other_fields(before, name) != _other_fields(after, name):
        raise edit.trouble(name)


def _value_and_reason(root: Node, name: str) -> tuple[Plain | None, str]:
    entry = entry_of(table_of(root, _SETTINGS), name)
    if entry is None:
        return None, ""
    if not isinstance(entry.value, Table):
        return plain(entry.value), ""
    value, reason = entry.value.get("value"), entry.value.get("reason")
    return (
        plain(value) if value is not None else None,
        reason.text if isinstance(reason, Scalar) else "",
    )


def _other_fields(root: Node, name: str) -> Plain:
    """Tolerance and group of a setting, where it has any."""
    entry = entry_of(table_of(root, _SETTINGS), name)
    fields = plain(entry.value) if entry else {}
    if not isinstance(fields, dict):
        return {}
    return {key: field for key, field in fields.items() if key not in _CHANGED}

"""One setting of a profile's text changed or added; all else stays as it was typed.

The text is cut at the places that the parser reported, so order, comments and spelling
survive, and the result is read again: whatever else changed its meaning is refused.
"""

from dataclasses import dataclass
from typing import Final

from benchlink.core.document import Entry, Items, Node, Problems, Scalar, Table
from benchlink.errors import FileError
from benchlink.store.draft import Draft
from benchlink.store.layer import read_layer
from benchlink.store.notation import bare_or_quoted, quoted
from benchlink.store.strict_yaml import Parsed, parse
from benchlink.store.yaml_tree import Span

Plain = tuple[str, bool] | tuple["Plain", ...] | dict[str, "Plain"]
"""A node without its places, to compare meanings."""

_SETTINGS: Final = "settings"
_INDENT: Final = "  "


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
    before = _checked(text, source)
    given_text = _spelled(given)
    draft = Draft(text.removeprefix("\ufeff"))
    entry = _entry(before.root, name)
    if entry is None:
        _insert(draft, before, _line_for(name, given_text, reason))
    else:
        _change(draft, before, entry, given_text, reason)
    bom = "\ufeff" if text.startswith("\ufeff") else ""
    result = bom + draft.text()
    _prove(before, result, name, _Wish(given_text, reason), source)
    return result


@dataclass(frozen=True, slots=True)
class _Wish:
    given_text: str
    reason: str


def _checked(text: str, source: str) -> Parsed:
    parsed = parse(text, source)
    problems = Problems()
    read_layer(parsed.root, problems)
    problems.stop_if_any(source)
    return parsed


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


def _entry(root: Node, name: str) -> Entry | None:
    settings = _settings(root)
    entries = settings.entries if settings else ()
    return next((e for e in entries if e.key.text == name), None)


def _settings(root: Node) -> Table | None:
    node = root.get(_SETTINGS) if isinstance(root, Table) else None
    return node if isinstance(node, Table) else None


def _line_for(name: str, given_text: str, reason: str) -> str:
    return f"{bare_or_quoted(name)}: {_value_for(given_text, reason)}"


def _value_for(given_text: str, reason: str) -> str:
    if not reason:
        return given_text
    return f"{{value: {given_text}, reason: {quoted(reason)}}}"


def _change(
    draft: Draft, parsed: Parsed, entry: Entry, given_text: str, reason: str
) -> None:
    if not isinstance(entry.value, Table):
        _put(draft, parsed, entry, _value_for(given_text, reason))
        return
    fields = {field.key.text: field for field in entry.value.entries}
    value = fields["value"]
    _put(draft, parsed, value, given_text)
    if not reason:
        return
    if "reason" in fields:
        _put(draft, parsed, fields["reason"], quoted(reason))
        return
    words = f"reason: {quoted(reason)}"
    if _is_flow(entry.value):
        draft.after(parsed.span(value.value), f", {words}")
    else:
        key = parsed.span(value.key)
        draft.lines_after(parsed.span(value.value).end_line, _indent(key) + words)


def _put(draft: Draft, parsed: Parsed, entry: Entry, new: str) -> None:
    key, span = parsed.span(entry.key), parsed.span(entry.value)
    if span.block:
        msg = f"`{entry.key.text}` is written as a block of text on line {key.line}"
        raise FileError(msg, hint="Nothing was changed. Edit it by hand there.")
    if span.line == key.end_line == span.end_line:
        draft.put(span, new)
        return
    # From the key on: a list of lines becomes one line, if no comment is lost.
    whole = Span(key.end_line, key.end_column, span.end_line, span.end_column)
    if "#" in draft.piece(whole):
        msg = f"`{entry.key.text}` has comments inside its value on line {key.line}"
        raise FileError(msg, hint="Nothing was changed. Edit it by hand there.")
    draft.put(whole, f": {new}")


def _indent(key: Span) -> str:
    return " " * key.column


def _is_flow(table: Table) -> bool:
    # A table in block form begins with its first key, one in braces before it.
    return not table.entries or table.place != table.entries[0].key.place


def _insert(draft: Draft, parsed: Parsed, words: str) -> None:
    settings = _settings(parsed.root)
    if settings is None:
        last = draft.last_text_line()
        draft.lines_after(last, f"{_SETTINGS}:", _INDENT + words)
    elif not _is_flow(settings):
        neighbour = _neighbour(settings, words)
        line = parsed.span(neighbour.value).end_line
        draft.lines_after(line, _indent(parsed.span(neighbour.key)) + words)
    elif settings.entries:
        draft.after(parsed.span(settings.entries[-1].value), f", {words}")
    else:
        draft.put(parsed.span(settings), f"{{{words}}}")


def _neighbour(settings: Table, words: str) -> Entry:
    """The last setting of the same family (`tilt.`), else the last one."""
    family = words.partition(".")[0] + "."
    kin = [e for e in settings.entries if e.key.text.startswith(family)]
    return (kin or settings.entries)[-1]


def _prove(before: Parsed, result: str, name: str, wish: _Wish, source: str) -> None:
    trouble = FileError(
        f"`{name}` cannot be changed in {source} without touching more than it",
        hint="Nothing was changed. Edit it by hand there.",
    )
    try:
        parse(result, source)
        given = parse(wish.given_text, source).root
    except FileError as exc:
        raise trouble from exc
    after = _checked(result, source).root
    _, old_reason = _value_and_reason(before.root, name)
    wanted = (_plain(given), wish.reason or old_reason)
    if _value_and_reason(after, name) != wanted:
        raise trouble
    if _without(before.root, name) != _without(after, name):
        raise trouble


def _value_and_reason(root: Node, name: str) -> tuple[Plain | None, str]:
    entry = _entry(root, name)
    if entry is None:
        return None, ""
    if not isinstance(entry.value, Table):
        return _plain(entry.value), ""
    value, reason = entry.value.get("value"), entry.value.get("reason")
    return (
        _plain(value) if value is not None else None,
        reason.text if isinstance(reason, Scalar) else "",
    )


def _without(root: Node, name: str) -> Plain:
    """The meaning of everything but one setting's value and reason."""
    plain = _plain(root)
    if not isinstance(plain, dict):
        return plain
    settings = plain.pop(_SETTINGS, {})
    rest = dict(settings) if isinstance(settings, dict) else {}
    own = rest.pop(name, {})
    kept = own if isinstance(own, dict) else {}
    others = {k: v for k, v in kept.items() if k not in {"value", "reason"}}
    return {**plain, _SETTINGS: rest, "": others}


def _plain(node: Node) -> Plain:
    match node:
        case Scalar():
            return (node.text, node.quoted)
        case Items():
            return tuple(_plain(item) for item in node.items)
        case Table():
            return {e.key.text: _plain(e.value) for e in node.entries}

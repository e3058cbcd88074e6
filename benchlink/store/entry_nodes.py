"""The nodes of a profile that an edit looks at: tables, their entries, what they mean."""

from benchlink.core.document import Entry, Items, Node, Scalar, Table

Plain = tuple[str, bool] | tuple["Plain", ...] | dict[str, "Plain"]
"""A node without its places, to compare meanings."""


def entry_of(node: Node | None, name: str) -> Entry | None:
    """One entry of a table."""
    entries = node.entries if isinstance(node, Table) else ()
    return next((e for e in entries if e.key.text == name), None)


def table_of(root: Node, key: str) -> Table | None:
    """The table under a key of the profile."""
    entry = entry_of(root, key)
    return entry.value if entry and isinstance(entry.value, Table) else None


def is_flow(table: Table) -> bool:
    """Whether a table stands in braces."""
    # A table in block form begins with its first key, one in braces before it.
    return not table.entries or table.place != table.entries[0].key.place


def plain(node: Node) -> Plain:
    """What a node means, wherever it stands."""
    match node:
        case Scalar():
            return (node.text, node.quoted)
        case Items():
            return tuple(plain(item) for item in node.items)
        case Table():
            return {e.key.text: plain(e.value) for e in node.entries}


def plain_without(root: Node, key: str, name: str) -> Plain:
    """What a profile means without one entry of the table under `key`."""
    whole = plain(root)
    if not isinstance(whole, dict):
        return whole
    table = whole.pop(key, {})
    rest = dict(table) if isinstance(table, dict) else {}
    rest.pop(name, None)
    return {**whole, key: rest}

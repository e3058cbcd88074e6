"""One waiver of a profile's text written, or taken back; all else stays as it was typed."""

from typing import Final

from benchlink.store.entry_edit import EntryEdit
from benchlink.store.entry_nodes import entry_of, plain, table_of
from benchlink.store.entry_removal import remove
from benchlink.store.notation import bare_or_quoted, quoted

_WAIVERS: Final = "waivers"


def with_waiver(text: str, name: str, reason: str, source: str = "the profile") -> str:
    """The profile's text with one waiver added, or given another reason.

    Raises:
        FileError: the profile has mistakes, the reason is none, or it cannot be written
            without touching more than this waiver.
    """
    edit = EntryEdit(text, _WAIVERS, source)
    entry = edit.entry(name)
    if entry is None:
        edit.insert(f"{bare_or_quoted(name)}: {quoted(reason)}")
    else:
        edit.put(entry, quoted(reason))
    result, after = edit.proven(name)
    written = entry_of(table_of(after, _WAIVERS), name)
    if written is None or plain(written.value) != (reason, True):
        raise edit.trouble(name)
    return result


def without_waiver(text: str, name: str, source: str = "the profile") -> str:
    """The profile's text without one waiver; as it is where it holds none of that name.

    Raises:
        FileError: the profile has mistakes, or the waiver cannot be taken out without
            touching more than it.
    """
    edit = EntryEdit(text, _WAIVERS, source)
    entry = edit.entry(name)
    if entry is not None:
        remove(edit, entry)
    result, after = edit.proven(name)
    if entry_of(table_of(after, _WAIVERS), name) is not None:
        raise edit.trouble(name)
    return result

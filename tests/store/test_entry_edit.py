"""The proof of an edit: what it should not have touched, or did not do, is refused."""

import pytest

from benchlink.errors import FileError
from benchlink.store import waiver_edit
from benchlink.store.entry_edit import EntryEdit
from benchlink.store.entry_nodes import entry_of
from benchlink.store.layer import VERSION_KEY

TEXT = (
    f"{VERSION_KEY}: 1\ntitle: T\nlayer: fitted\n"
    "settings: {a: 1, b: 2}\nwaivers: {a: why}\n"
)


@pytest.mark.parametrize("touched", ["title", "settings", "b"])
def test_a_cut_beyond_the_entry_is_refused(touched: str) -> None:
    edit = EntryEdit(TEXT, "settings", "the profile")
    root = edit.parsed.root
    entry = edit.entry(touched) or entry_of(root, touched)
    assert entry is not None
    edit.draft.put(
        edit.parsed.span(entry.value), "{}" if touched == "settings" else "x"
    )
    with pytest.raises(FileError, match="without touching more than it"):
        edit.proven("a")


def test_the_entry_itself_may_change() -> None:
    edit = EntryEdit(TEXT, "settings", "the profile")
    entry = edit.entry("a")
    assert entry is not None
    edit.put(entry, "3")
    assert edit.proven("a")[0] == TEXT.replace("a: 1", "a: 3")


def test_a_reason_that_reads_back_as_another_one_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(waiver_edit, "quoted", lambda text: f'"{text}!"')
    with pytest.raises(FileError, match="without touching more than it"):
        waiver_edit.with_waiver(TEXT, "b", "why")


def test_a_waiver_that_is_still_there_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(waiver_edit, "remove", lambda _edit, _entry: None)
    with pytest.raises(FileError, match="without touching more than it"):
        waiver_edit.without_waiver(TEXT, "a")

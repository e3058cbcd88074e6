"""What a user approved, and what happens when that file is damaged."""

import errno
import os
from datetime import date
from pathlib import Path

import pytest

from benchlink.errors import FileError
from benchlink.store.memory import FILE_NAME, Memory

DAY = date(2025, 3, 1)
BOARD = "wader 7F3A-0192"


class Bench:
    """One user's folder, and what they were told."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.path = folder / FILE_NAME
        self.told: list[str] = []
        self.memory = Memory(folder, self.told.append)


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path / "state")


def test_nothing_is_approved_at_first(bench: Bench) -> None:
    assert not bench.memory.approved(BOARD, "aa")
    assert bench.memory.last_console(BOARD) is None
    assert bench.told == []
    assert not bench.folder.exists()


def test_an_approval_holds_for_that_board_and_those_bytes(bench: Bench) -> None:
    bench.memory.remember(BOARD, "wader", "aa", DAY)

    assert bench.memory.approved(BOARD, "aa")
    assert not bench.memory.approved(BOARD, "ab")
    assert not bench.memory.approved("another", "aa")


def test_the_last_approved_console_is_used_again(bench: Bench) -> None:
    bench.memory.remember(BOARD, "wader", "aa", DAY)
    bench.memory.remember(BOARD, "/own/reed one.yaml", "bb", DAY)
    assert bench.memory.last_console(BOARD) == ("/own/reed one.yaml", "bb")

    bench.memory.remember(BOARD, "wader", "aa", DAY)
    assert bench.memory.last_console(BOARD) == ("wader", "aa")
    assert bench.memory.approved(BOARD, "bb")


def test_the_file_is_plain_text(bench: Bench) -> None:
    bench.memory.remember(BOARD, "wader", "aa", DAY)

    assert bench.path.read_text(encoding="utf-8") == (
        "benchlink-approvals: 1\nboards:\n"
        f'  "{BOARD}":\n'
        "    - {console: wader, hash: aa, approved: 2025-03-01}\n"
    )


def test_any_board_key_is_remembered(bench: Bench) -> None:
    key = 'a "b": # c\n<<'
    bench.memory.remember(key, "x", "aa", DAY)

    assert bench.memory.approved(key, "aa")
    assert bench.told == []


@pytest.mark.parametrize(
    "content",
    [
        b"\xff\xfe",
        b"benchlink-approvals: 1\nboards: {a: [{conso",
        b"benchlink-approvals: 2\n",
        b"benchlink-approvals: 1\nboards: {a: b}\n",
        b"benchlink-approvals: 1\nboards: {a: [{console: x, hash: y, approved: z}]}\n",
        b"",
    ],
)
def test_a_damaged_file_is_set_aside_with_a_sentence(
    content: bytes, bench: Bench
) -> None:
    bench.folder.mkdir()
    bench.path.write_bytes(content)

    assert not bench.memory.approved(BOARD, "aa")

    [sentence] = bench.told
    aside = bench.folder / "consoles.damaged-1"
    assert str(aside) in sentence
    assert aside.read_bytes() == content
    assert not bench.path.exists()


def test_a_second_damaged_file_does_not_replace_the_first(bench: Bench) -> None:
    bench.folder.mkdir()
    for content in (b"1", b"2"):
        bench.path.write_bytes(content)
        bench.memory.last_console(BOARD)

    assert (bench.folder / "consoles.damaged-1").read_bytes() == b"1"
    assert (bench.folder / "consoles.damaged-2").read_bytes() == b"2"


def test_a_damaged_file_that_cannot_be_moved_is_only_spoken_of(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError

    bench.folder.mkdir()
    bench.path.write_bytes(b"1")
    monkeypatch.setattr(Path, "rename", refuse)

    assert bench.memory.last_console(BOARD) is None
    assert "could not be moved" in bench.told[0]


def test_a_failed_write_keeps_what_was_approved(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "full")

    bench.memory.remember(BOARD, "wader", "aa", DAY)
    monkeypatch.setattr(os, "replace", full)

    with pytest.raises(FileError):
        bench.memory.remember(BOARD, "wader", "bb", DAY)
    assert bench.memory.approved(BOARD, "aa")
    assert not bench.memory.approved(BOARD, "bb")

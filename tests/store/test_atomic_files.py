"""Files written whole or not at all."""

import errno
import os
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from benchlink.errors import FileError
from benchlink.store import atomic

Seam = Callable[..., object]


def failing(number: int) -> Seam:
    def fail(*_: object) -> object:
        raise OSError(number, os.strerror(number))

    return fail


def test_a_file_is_replaced_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_bytes(b"old")

    atomic.replace(path, b"new")

    assert path.read_bytes() == b"new"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("call", ["open", "write", "fsync", "replace"])
def test_a_failure_at_any_step_leaves_the_old_file(
    call: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.yaml"
    path.write_bytes(b"old")
    monkeypatch.setattr(os, call, failing(errno.ENOSPC))

    with pytest.raises(FileError, match="could not be written") as caught:
        atomic.replace(path, b"new")

    monkeypatch.undo()
    assert "disk is full" in caught.value.hint
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("room", range(8))
def test_a_disk_that_fills_at_any_byte_leaves_the_old_file(
    room: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.yaml"
    path.write_bytes(b"old")
    write, left = os.write, [room]

    def one_byte(descriptor: int, data: memoryview) -> int:
        if not left[0]:
            raise OSError(errno.ENOSPC, "full")
        left[0] -= 1
        return write(descriptor, data[:1])

    monkeypatch.setattr(os, "write", one_byte)

    with pytest.raises(FileError):
        atomic.replace(path, b"newdata!")
    assert path.read_bytes() == b"old"


def test_short_writes_are_continued(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write = os.write
    monkeypatch.setattr(os, "write", lambda fd, data: write(fd, data[:3]))

    atomic.replace(tmp_path / "a", b"0123456789")

    assert (tmp_path / "a").read_bytes() == b"0123456789"


def test_the_content_is_safe_before_the_name_and_the_folder_after(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    order: list[str] = []
    fsync, replace = os.fsync, os.replace

    def watched_fsync(descriptor: int) -> None:
        folder = stat.S_ISDIR(os.fstat(descriptor).st_mode)
        order.append("folder" if folder else "file")
        fsync(descriptor)

    def watched_replace(old: Path, new: Path) -> None:
        order.append("name")
        replace(old, new)

    monkeypatch.setattr(os, "fsync", watched_fsync)
    monkeypatch.setattr(os, "replace", watched_replace)
    atomic.replace(tmp_path / "a", b"x")

    assert order == ["file", "name", "folder"]


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.EROFS, "read-only"),
        (errno.EACCES, "may not write there"),
        (errno.EIO, "Check the disk"),
    ],
)
def test_each_reason_has_its_advice(
    number: int, words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "open", failing(number))

    with pytest.raises(FileError) as caught:
        atomic.replace(tmp_path / "a", b"x")
    assert words in caught.value.hint


def test_a_missing_folder_is_said(tmp_path: Path) -> None:
    with pytest.raises(FileError) as caught:
        atomic.replace(tmp_path / "none" / "a", b"x")
    assert "no such folder" in caught.value.hint


def test_a_link_stays_a_link_and_permissions_stay(tmp_path: Path) -> None:
    real, link = tmp_path / "real", tmp_path / "link"
    real.write_bytes(b"old")
    real.chmod(0o640)
    link.symlink_to(real)

    atomic.replace(link, b"new")

    assert link.is_symlink()
    assert real.read_bytes() == b"new"
    assert stat.S_IMODE(real.stat().st_mode) == 0o640


def test_a_new_file_never_takes_a_name_that_is_taken(tmp_path: Path) -> None:
    path = tmp_path / "a"

    assert atomic.create(path, b"first")
    assert not atomic.create(path, b"second")
    assert path.read_bytes() == b"first"
    assert list(tmp_path.iterdir()) == [path]


def test_a_disk_without_links_gets_new_files_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "link", failing(errno.EPERM))
    path = tmp_path / "a"

    assert atomic.create(path, b"first")
    assert not atomic.create(path, b"second")
    assert path.read_bytes() == b"first"


@pytest.mark.parametrize("call", ["open", "write", "fsync", "link"])
def test_a_new_file_that_fails_leaves_nothing(
    call: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, call, failing(errno.EIO))

    with pytest.raises(FileError):
        atomic.create(tmp_path / "a", b"x")

    monkeypatch.undo()
    assert list(tmp_path.iterdir()) == []


def test_a_name_taken_but_not_filled_is_given_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "link", failing(errno.EPERM))
    monkeypatch.setattr(os, "replace", failing(errno.EIO))

    with pytest.raises(FileError):
        atomic.create(tmp_path / "a", b"x")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_where_a_file_stands_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"")

    with pytest.raises(FileError, match="is a file, not a folder"):
        atomic.make_folder(tmp_path / "a")
    with pytest.raises(FileError, match="could not be written"):
        atomic.make_folder(tmp_path / "a" / "b")

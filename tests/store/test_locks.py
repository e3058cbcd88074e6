"""One at a time, between real processes: who has it is said, the dead have nothing."""

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

import pytest

from benchlink.errors import FileError, HeldError
from benchlink.store import locks
from benchlink.store.locks import IN_FOLDER, hold
from tests.faces.running import CHECKOUT, WITHIN_S, first_line

HOLDER = """
import sys
from pathlib import Path
from benchlink.store.locks import hold
with hold(Path(sys.argv[1]), "`benchlink apply` at /dev/ttyACM0"):
    print("held", flush=True)
    sys.stdin.read()
"""


@contextmanager
def holder(path: Path) -> Iterator[subprocess.Popen[str]]:
    with subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(path)],
        cwd=CHECKOUT,
        env={**os.environ, "PYTHONPATH": str(CHECKOUT)},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        try:
            assert first_line(process) == "held"
            yield process
        finally:
            process.kill()


def test_the_second_is_told_who_the_first_is(tmp_path: Path) -> None:
    path = tmp_path / "locks" / "board"
    with holder(path) as first:
        with pytest.raises(HeldError) as refused, hold(path, "second"):
            pass
        since = datetime.fromtimestamp(path.stat().st_mtime).astimezone()

    words = f"`benchlink apply` at /dev/ttyACM0, process {first.pid}, since "
    assert str(refused.value).startswith(f"{path} is in use by {words}")
    assert refused.value.holder.startswith(words)
    assert refused.value.holder.endswith(f"{since:%H:%M}{refused.value.holder[-3:]}")


def test_a_holder_that_ended_by_itself_leaves_nothing(tmp_path: Path) -> None:
    path = tmp_path / "board"
    with holder(path) as first:
        assert first.stdin is not None
        first.stdin.close()
        first.wait(WITHIN_S)

    assert not path.exists()


def test_a_holder_that_was_killed_holds_nothing(tmp_path: Path) -> None:
    path = tmp_path / "board"
    with holder(path) as first:
        first.send_signal(signal.SIGKILL)
        first.wait(WITHIN_S)
        assert path.exists()

        with hold(path, "second") as held:
            assert held.caution == ""

    assert not path.exists()


def test_a_folder_is_held_by_a_file_that_is_there_only_meanwhile(
    tmp_path: Path,
) -> None:
    taken = pytest.raises(HeldError, match=str(tmp_path))
    with holder(tmp_path), taken, hold(tmp_path, "second"):
        pass
    (tmp_path / IN_FOLDER).unlink()
    with hold(tmp_path, "second"):
        assert [file.name for file in tmp_path.iterdir()] == [IN_FOLDER]

    assert not list(tmp_path.iterdir())


def test_two_things_are_held_side_by_side(tmp_path: Path) -> None:
    with holder(tmp_path / "left"), hold(tmp_path / "right", "second") as held:
        assert held.caution == ""


def test_the_lock_is_let_go_when_the_work_fails(tmp_path: Path) -> None:
    path = tmp_path / "board"
    with pytest.raises(ZeroDivisionError), hold(path, "first"):
        raise ZeroDivisionError

    with hold(path, "second"):
        pass


@pytest.mark.parametrize("text", ["", "marsh", "[]", '{"pid": 1}', "\xff"])
def test_a_holder_without_a_name_still_keeps_others_out(
    tmp_path: Path, text: str
) -> None:
    path = tmp_path / "board"
    with hold(path, "first"):
        path.write_text(text, encoding="latin-1")
        unnamed = pytest.raises(HeldError, match="does not say what it does")
        with unnamed, hold(path, "second"):
            pass


def test_a_place_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(FileError), hold(tmp_path / "file" / "board", "first"):
        pass


def test_a_system_without_such_locks_is_cautioned_about_and_not_stopped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "fcntl", None)
    with hold(tmp_path / "board", "first") as held:
        assert "no lock" in held.caution

    assert not list(tmp_path.iterdir())


def test_a_disk_without_such_locks_is_cautioned_about_and_not_stopped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import fcntl  # noqa: PLC0415 - POSIX only

    def flock(descriptor: int, kind: int) -> None:
        del descriptor, kind
        raise OSError(38, "Function not implemented")

    monkeypatch.setattr(fcntl, "flock", flock)
    with hold(tmp_path / "board", "first") as held:
        assert "cannot be locked: Function not implemented" in held.caution


def test_many_who_come_and_go_never_hold_it_twice(tmp_path: Path) -> None:
    path, inside = tmp_path / "board", tmp_path / "inside"
    code = """
import os, sys
from pathlib import Path
from benchlink.errors import HeldError
from benchlink.store.locks import hold
done = 0
while done < 60:
    try:
        with hold(Path(sys.argv[1]), "one of many"):
            os.close(os.open(sys.argv[2], os.O_CREAT | os.O_EXCL))
            os.unlink(sys.argv[2])
            done += 1
    except HeldError:
        pass
"""
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", code, str(path), str(inside)],
            cwd=CHECKOUT,
            stderr=subprocess.PIPE,
            text=True,
        )
        for _ in range(4)
    ]
    errors = [run.communicate(timeout=WITHIN_S)[1] for run in runs]

    assert errors == [""] * 4
    assert locks.TRIES > 1

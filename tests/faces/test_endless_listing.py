"""A board that lists for ever, through a real backup; the memory stays what it was."""

import os
import resource
import select
import subprocess
import threading
import tty
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

import pytest

from tests.faces.byte_board import ByteBoard, describe_in
from tests.faces.running import Workshop, command

WITHIN_S: Final = 60.0
LINES: Final = b"curve.c7.p3 = 1875\r\n" * 200
USUAL_KIB: Final = 120 * 1024


@contextmanager
def endless_board() -> Iterator[ByteBoard]:
    """It answers what is asked, but for the listing, which never ends."""
    master, slave = os.openpty()
    tty.setraw(slave)
    ended, end = os.pipe()
    os.set_blocking(master, False)
    board = ByteBoard(os.ttyname(slave), {})
    thread = threading.Thread(target=_serve, args=(master, ended, board))
    thread.start()
    try:
        yield board
    finally:
        os.close(end)
        thread.join(10)
        for fd in (master, slave, ended):
            os.close(fd)


def _serve(master: int, ended: int, board: ByteBoard) -> None:
    typed, left, lists = b"", b"", False
    while True:
        writing = [master] if left or lists else []
        ready, room, _ = select.select([master, ended], writing, [])
        if ended in ready:
            return
        if master in ready:
            typed += os.read(master, 4096)
        if b"\x15" in typed and not lists:
            typed, left = typed.rpartition(b"\x15")[2], left + b"\r\n@ "
        *lines, typed = typed.split(b"\r")
        for line in lines:
            lists = lists or line == b"all"
            left += line + b"\r\n" + (b"" if lists else board.answer(line) + b"@ ")
        if room:
            left = left or LINES
            left = left[os.write(master, left) :]


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


def test_the_listing_is_given_up_in_plain_words(workshop: Workshop) -> None:
    console = describe_in(workshop.folder)
    with endless_board() as board:
        where = ("--port", board.port, "--console", console)
        code, said = workshop.at_terminal("identify", *where, answers={"?": "yes"})
        assert code == 0, said
        before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
        done = subprocess.run(
            command("backup", *where),
            cwd=workshop.folder,
            env=workshop.environment,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            timeout=WITHIN_S,
            check=False,
        )
    assert done.returncode == 2
    assert "the board's answer to `all` has no end: more than 4 MiB" in done.stderr
    assert "'curve.c7.p3 = 1875' the last of them" in done.stderr
    assert "What came was thrown away" in done.stderr
    assert not list(workshop.folder.glob("backups/*"))
    most = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    assert most <= max(before, USUAL_KIB)

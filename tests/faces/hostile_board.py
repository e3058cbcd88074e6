"""A console on a pty that says whatever a test wants it to say."""

import os
import select
import threading
import tty
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress


@contextmanager
def board_saying(answers: Mapping[str, bytes]) -> Iterator[str]:
    """Answer each line by its first word, with status and prompt; gives the port."""
    master, slave = os.openpty()
    tty.setraw(slave)
    ended, end = os.pipe()
    thread = threading.Thread(target=_serve, args=(master, ended, answers))
    thread.start()
    try:
        yield os.ttyname(slave)
    finally:
        os.close(end)
        thread.join(10)
        for fd in (master, slave, ended):
            os.close(fd)


def _serve(master: int, ended: int, answers: Mapping[str, bytes]) -> None:
    typed = b""
    with suppress(OSError):
        while ended not in select.select([master, ended], [], [])[0]:
            typed += os.read(master, 4096)
            if b"\x15" in typed:
                typed = typed.rpartition(b"\x15")[2]
                os.write(master, b"\r\n@ ")
            *lines, typed = typed.split(b"\r")
            for line in lines:
                said = answers.get(line.decode().split(" ")[0], b"done\r\n")
                os.write(master, line + b"\r\n" + said + b"@ ")


@contextmanager
def nobody_there() -> Iterator[str]:
    """A port that opens, with nobody at the other end."""
    master, slave = os.openpty()
    tty.setraw(slave)
    try:
        yield os.ttyname(slave)
    finally:
        os.close(master)
        os.close(slave)

"""The board's end of a wire, played by the test."""

import os
import select
import socket
import threading
import time
import tty
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from benchlink.units import Seconds

WITHIN_S = 10.0


def clock() -> Seconds:
    return Seconds(time.monotonic())


def open_things() -> tuple[set[Path], int]:
    """Descriptors and threads of this process."""
    return set(Path("/proc/self/fd").iterdir()), threading.active_count()


class FarEnd:
    """One file descriptor, read with a limit on time."""

    def __init__(self, fd: int, url: str, *others: int) -> None:
        self.fd = fd
        self.url = url
        self._others = others
        self.heard = b""

    def say(self, data: bytes) -> None:
        os.write(self.fd, data)

    def hear(self, ending: bytes) -> bytes:
        """Everything up to `ending`; more than that is an error."""
        while not self.heard.endswith(ending):
            ready, _, _ = select.select([self.fd], [], [], WITHIN_S)
            assert ready, f"only {self.heard!r} came"
            self.heard += os.read(self.fd, 65536)
        heard, self.heard = self.heard, b""
        return heard

    def is_quiet(self, for_s: float = 0.05) -> bool:
        return not select.select([self.fd], [], [], for_s)[0] and not self.heard

    def unplug(self) -> None:
        for fd in (self.fd, *self._others):
            with suppress(OSError):
                os.close(fd)


@contextmanager
def pty_end() -> Iterator[FarEnd]:
    master, slave = os.openpty()
    tty.setraw(slave)
    end = FarEnd(master, os.ttyname(slave), slave)
    try:
        yield end
    finally:
        end.unplug()


class Listener:
    """A TCP port that takes one client."""

    def __init__(self) -> None:
        self._socket = socket.create_server(("127.0.0.1", 0))
        self.url = f"socket://127.0.0.1:{self._socket.getsockname()[1]}"

    def accept(self) -> FarEnd:
        self._socket.settimeout(WITHIN_S)
        connection, _ = self._socket.accept()
        connection.settimeout(None)
        return FarEnd(connection.detach(), self.url)

    def close(self) -> None:
        self._socket.close()

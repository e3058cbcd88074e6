"""A pty as port. Closing its master is what pulling the cable is to a client."""

import contextlib
import os
import tty
from typing import Final, final

from .fault_events import Path

_READ_AT_MOST: Final = 4096


@final
class PtyPort:
    """Each plugging in makes a pty with a path that differs from the last one."""

    def __init__(self) -> None:
        self._name = ""
        self._master: int | None = None
        # Held open: else the master fails as soon as a client leaves.
        self._slave: int | None = None
        self._spare: tuple[int, int] | None = None
        self._last = ""
        self.plug()

    @property
    def name(self) -> str:
        """Path of the pty; empty while the cable is out."""
        return self._name

    def watch(self) -> tuple[int, ...]:
        """The master."""
        return () if self._master is None else (self._master,)

    def room(self) -> int | None:
        """The master: what no client reads waits in the pty."""
        return self._master

    def read(self) -> bytes:
        """What the client has sent."""
        if self._master is None:
            return b""
        with contextlib.suppress(BlockingIOError):
            return os.read(self._master, _READ_AT_MOST)
        return b""

    def write(self, data: bytes) -> int:
        """Send to the client."""
        if self._master is None:
            return len(data)
        with contextlib.suppress(BlockingIOError):
            return os.write(self._master, data)
        return 0

    def unplug(self) -> None:
        """Close the pty; its path will not be the next one."""
        if self._master is None:
            return
        # The next pty is opened before this one is closed, so it has another path.
        self._spare = os.openpty()
        self._last, self._name = self._name, ""
        self._shut()

    def plug(self, path: Path = Path.OTHER) -> None:
        """Show a pty under a new path, or under the last one if it is free again.

        It is not while a client still holds it open, nor once another has taken it.
        """
        if self._master is not None:
            return
        spare, self._spare = self._spare or os.openpty(), None
        if path is Path.SAME:
            spare = self._again(spare)
        self._master, self._slave = spare
        # Without it the line discipline echoes the board's own words back to it.
        tty.setraw(self._slave)
        os.set_blocking(self._master, False)
        self._name = os.ttyname(self._slave)

    def _again(self, spare: tuple[int, int]) -> tuple[int, int]:
        # The system gives the lowest free number, and the last one may be it.
        lowest = os.openpty()
        same = os.ttyname(lowest[1]) == self._last
        kept, other = (lowest, spare) if same else (spare, lowest)
        for fd in other:
            os.close(fd)
        return kept

    def close(self) -> None:
        """Close everything."""
        self._shut()
        for fd in self._spare or ():
            os.close(fd)
        self._spare = None

    def _shut(self) -> None:
        for fd in (self._master, self._slave):
            if fd is not None:
                os.close(fd)
        self._master = self._slave = None

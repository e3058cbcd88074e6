"""Wakes a thread that waits for file descriptors."""

import selectors
import socket
import sys
from contextlib import suppress
from typing import Final, final

from benchlink.units import Seconds


def new_selector() -> selectors.BaseSelector:
    """What works best for terminal lines: poll on Linux, select elsewhere."""
    linux = sys.platform == "linux"  # poll has no limit there, and no descriptor
    return selectors.PollSelector() if linux else selectors.SelectSelector()


@final
class Bell:
    """A socket pair: a pipe could not be waited for on Windows."""

    def __init__(self) -> None:
        self._near, self._far = socket.socketpair()
        for end in (self._near, self._far):
            end.setblocking(False)  # noqa: FBT003 - positional only
        self._alone: Final = new_selector()
        self._alone.register(self._near, selectors.EVENT_READ)

    def fileno(self) -> int:
        """To wait for it with other things."""
        return self._near.fileno()

    def ring(self) -> None:
        """From any thread; a bell that rings already, or is gone, is left alone."""
        with suppress(OSError):
            self._far.send(b"!")

    def hush(self) -> None:
        """Heard."""
        with suppress(BlockingIOError):
            self._near.recv(4096)

    def wait(self, longest: Seconds) -> bool:
        """Listen to nothing else for a while; True when it rang."""
        return bool(self._alone.select(longest))

    def close(self) -> None:
        """Both ends."""
        self._alone.close()
        self._near.close()
        self._far.close()

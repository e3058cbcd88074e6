"""What goes to a terminal that may take nothing: whoever writes never waits for it.

textual's own writer has room for thirty writes; the next one stops the event loop until
the terminal reads, and for good when it never does. Nothing can be left out of a stream
that is drawn by differences, so this one has no limit: whoever draws looks at `waiting`
and draws nothing while that is long.
"""

import os
import select
import threading
from collections import deque
from collections.abc import Callable
from typing import Final, final

from benchlink.units import Seconds

PIECE: Final = 512
"""Bytes at a time: half a second of the slowest terminal, which so shows that it moves."""
STALLED_AFTER: Final = Seconds(5.0)
"""A line that hiccups is forgiven; whoever sees nothing for longer does not look on."""
PATIENCE: Final = Seconds(0.75)
"""How long the end waits for a terminal that takes nothing more."""
END_WITHIN: Final = Seconds(10.0)
"""The same where it still takes something, now and then."""
ROOM_WITHIN_S: Final = 0.1


@final
class Output:
    """A thread that writes to one terminal, in order.

    It writes past Python's own buffers, whose lock it would keep from everybody else at
    the exit.
    """

    def __init__(self, fd: int, clock: Callable[[], Seconds]) -> None:
        self._fd: Final = fd
        self._clock: Final = clock
        self._changed: Final = threading.Condition()
        self._queue: Final[deque[bytes]] = deque()
        self._moved_at = clock()
        self._ends = False
        self.waiting = 0
        """Bytes that the terminal has not taken yet."""
        self.broken = False
        """Whether there is no terminal any more."""
        # A daemon: the exit waits for `finish`, and no longer.
        self._thread: Final = threading.Thread(
            target=self._run, name="terminal", daemon=True
        )
        self._thread.start()

    @property
    def stalled(self) -> bool:
        """Whether it has taken nothing for long of what waits."""
        with self._changed:
            since = self._clock() - self._moved_at
            return self.waiting > 0 and since > STALLED_AFTER

    def write(self, data: bytes) -> None:
        """Queue it; nothing is kept for a terminal that is gone."""
        with self._changed:
            if self.broken or self._ends:
                return
            if not self.waiting:
                self._moved_at = self._clock()
            self._queue.append(data)
            self.waiting += len(data)
            self._changed.notify()

    def finish(self) -> bool:
        """Take nothing more; whether the terminal took all, as long as it moves."""
        with self._changed:
            self._ends = True
            self._changed.notify()
        until = self._clock() + END_WITHIN
        while self._thread.is_alive() and self._clock() < until:
            before = self.waiting
            self._thread.join(PATIENCE)
            if self.waiting == before:
                break
        return self.waiting == 0 and not self.broken

    def _run(self) -> None:
        while data := self._next():
            for at in range(0, len(data), PIECE):
                try:
                    self._put(data[at : at + PIECE])
                except OSError:
                    self._give_up()
                    return

    def _next(self) -> bytes:
        """All that waits; empty at the end."""
        with self._changed:
            self._changed.wait_for(lambda: self._queue or self._ends)
            data = b"".join(self._queue)
            self._queue.clear()
            return data

    def _put(self, piece: bytes) -> None:
        while piece:
            try:
                taken = os.write(self._fd, piece)
            except BlockingIOError:  # whoever shares this terminal made it so
                select.select([], [self._fd], [], ROOM_WITHIN_S)
                continue
            piece = piece[taken:]
            with self._changed:
                self.waiting -= taken
                self._moved_at = self._clock()

    def _give_up(self) -> None:
        with self._changed:
            self.broken = True
            self._queue.clear()
            self.waiting = 0

"""News from other threads on their way to the event loop.

Any thread posts; the loop is rung once for a whole batch, so a burst costs one wake-up.
"""

import contextlib
import threading
from collections import deque
from typing import TYPE_CHECKING, Final, final

if TYPE_CHECKING:
    from asyncio import AbstractEventLoop
    from collections.abc import Callable

    from benchlink.faces.screen.threads.news import News


@final
class Mailbox:
    """Holds news until the loop takes it; before `attach` and after its end as well."""

    def __init__(self) -> None:
        self._lock: Final = threading.Lock()
        self._waiting: Final[deque[News]] = deque()
        self._ring: Callable[[], None] | None = None

    def attach(
        self,
        loop: "AbstractEventLoop",
        deliver: "Callable[[tuple[News, ...]], None]",
    ) -> None:
        """From now on batches go to `deliver`, on the loop's own thread."""

        def drain() -> None:
            batch = self.take()
            if batch:
                deliver(batch)

        def ring() -> None:
            # A loop that has ended takes nothing; what is left is taken by hand.
            with contextlib.suppress(RuntimeError):
                loop.call_soon_threadsafe(drain)

        with self._lock:
            self._ring = ring
        ring()

    def post(self, news: "News") -> None:
        """Leave one piece of news; never blocks."""
        with self._lock:
            ring = None if self._waiting else self._ring
            self._waiting.append(news)
        if ring is not None:
            ring()

    def take(self) -> "tuple[News, ...]":
        """Everything that waits."""
        with self._lock:
            batch = tuple(self._waiting)
            self._waiting.clear()
        return batch

"""The first interrupt ends a piece of work; the next ones do not cut how it ends.

Ctrl-C is often struck twice. What stops the arms, and writes down what was read, comes after
the first: it takes a moment, and whatever asks for an end meanwhile gets one anyway.
"""

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Final, final

Heeds = Callable[[int, FrameType | None], object]
"""What a program does about a signal."""


def _endings() -> tuple[signal.Signals, ...]:
    """What a program is ended with, as far as this system knows them."""
    names = ("SIGINT", "SIGTERM", "SIGHUP")
    return tuple(signal.Signals[n] for n in names if n in signal.Signals.__members__)


@final
class Interrupts:
    """Of one piece of work on the main thread; signals go to no other."""

    def __init__(self) -> None:
        """Nothing is heeded otherwise than before."""
        self._before: Final[dict[int, Heeds]] = {}
        self._ending = False
        self._let_through = False

    @contextmanager
    def heeded_once(self) -> Iterator[None]:
        """While the work goes on: the first raises as it does anywhere, the next wait."""
        self._take()
        try:
            yield
        finally:
            self._give_back()

    @contextmanager
    def let_through(self) -> Iterator[None]:
        """Each raises again: a change that is put back can be left to its journal."""
        self._let_through = True
        try:
            yield
        finally:
            self._let_through = False

    def end(self) -> None:
        """The work is ending by itself: from here on not even the first one cuts it."""
        self._ending = True

    def _take(self) -> None:
        if threading.current_thread() is not threading.main_thread():
            return
        for number in _endings():
            before = signal.getsignal(number)
            # What the system does itself about a signal stays so.
            if callable(before):
                self._before[number] = before
                signal.signal(number, self._heed)

    def _give_back(self) -> None:
        for number, before in self._before.items():
            # Whoever heeded the first may have it ignored from then on.
            if signal.getsignal(number) == self._heed:
                signal.signal(number, before)

    def _heed(self, number: int, frame: FrameType | None) -> None:
        if self._ending and not self._let_through:
            return
        self._ending = True
        self._before[number](number, frame)

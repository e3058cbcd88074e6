"""The way out of the full screen: how long it may take, and what ends a program."""

import contextlib
import signal
from typing import TYPE_CHECKING, Final

from benchlink.units import Seconds

if TYPE_CHECKING:
    from asyncio import AbstractEventLoop
    from collections.abc import Callable

CLOSE_WITHIN: Final = Seconds(1.0)
"""How long the exit waits for a board that will not let go."""

END_WITHIN: Final = Seconds(20.0)
"""How long the exit waits for work to put back what it holds; asked twice, no longer."""

SIGNALLED: Final = 128
"""A program that a signal ended gives this plus the signal's number (POSIX shells)."""


def signals() -> tuple[signal.Signals, ...]:
    """What a program is ended with, as far as this system knows them."""
    names = ("SIGTERM", "SIGHUP", "SIGINT")
    return tuple(signal.Signals[n] for n in names if n in signal.Signals.__members__)


def heed_signals(loop: "AbstractEventLoop", leave: "Callable[[int], None]") -> None:
    """Leave with the code that belongs to whatever ends the program."""
    for number in signals():
        # Not every system lets a loop handle signals.
        with contextlib.suppress(NotImplementedError):
            loop.add_signal_handler(number, leave, SIGNALLED + number)

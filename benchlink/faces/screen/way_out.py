"""The way out of the full screen: how long it may take, and what ends a program."""

import os
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

HUNG_UP: Final = SIGNALLED + 1
"""That of a terminal that went away."""

STANDARD: Final = (1, 2)
"""Output and errors (POSIX file descriptors)."""


def signals() -> tuple[signal.Signals, ...]:
    """What a program is ended with, as far as this system knows them."""
    names = ("SIGTERM", "SIGHUP", "SIGINT")
    return tuple(signal.Signals[n] for n in names if n in signal.Signals.__members__)


def heed_signals(
    loop: "AbstractEventLoop",
    leave: "Callable[[int], None]",
    stuck: "Callable[[], bool]",
) -> None:
    """Leave with the code that belongs to whatever ends the program.

    Not by the loop's own handlers: those are only called by a loop that goes round. One
    that is stuck is broken out of, as Ctrl-C does it everywhere else.
    """

    def heed(number: int, _frame: object) -> None:
        if not loop.is_running():
            return  # the way out has been taken
        if stuck():
            raise KeyboardInterrupt
        loop.call_soon_threadsafe(leave, SIGNALLED + number)

    for number in signals():
        signal.signal(number, heed)


def hush() -> None:
    """What is still said goes nowhere: a terminal that takes nothing holds up nobody."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for fd in STANDARD:
        if os.isatty(fd):
            os.dup2(nowhere, fd)
    os.close(nowhere)

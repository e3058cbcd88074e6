"""An open port to a board whose console nobody has described: bytes out, bytes in."""

import selectors
from collections.abc import Callable
from typing import Final, final

from benchlink.link.capture import send_whole
from benchlink.link.clock import Clock
from benchlink.link.wire import Wire
from benchlink.units import Seconds

QUIET: Final = Seconds(0.5)
"""Silence after the last byte that counts as the end."""
FIRST: Final = Seconds(2.0)
"""How long the first byte may take."""
LONGEST: Final = Seconds(10.0)
"""A board that goes on talking is not waited for any longer."""
LOOK_EVERY: Final = Seconds(0.1)
"""Longest single wait, so that an interrupt is noticed."""


@final
class BareLine:
    """Used by one thread, which is the only one at that port."""

    def __init__(self, wire: Wire, clock: Clock) -> None:
        self._wire: Final = wire
        self._clock: Final = clock

    @property
    def port(self) -> str:
        """Where it is."""
        return self._wire.device.url

    def overheard(self) -> bytes:
        """What came since the last look.

        Raises:
            PortLostError: the port went away.
        """
        return self._wire.read_ready()

    def say(self, data: bytes, hear: Callable[[], None]) -> None:
        """Send bytes as they stand and wait until the board falls quiet.

        Raises:
            PortLostError: the port went away.
        """
        start = last = self._clock()
        heard = False
        send_whole(self._wire, data, Seconds(start + LONGEST), self._clock)
        with selectors.DefaultSelector() as selector:
            selector.register(self._wire, selectors.EVENT_READ)
            while True:
                now = self._clock()
                ends = min(start + LONGEST, last + (QUIET if heard else FIRST))
                if now >= ends:
                    return
                if selector.select(min(LOOK_EVERY, ends - now)):
                    heard, last = True, self._clock()
                    hear()

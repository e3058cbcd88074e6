"""Keep what an undescribed board says: one line out, every byte in, until quiet."""

import selectors
from dataclasses import dataclass
from enum import Enum
from typing import Final

from benchlink.errors import PortLostError
from benchlink.link.clock import Clock
from benchlink.link.wire import Wire
from benchlink.units import Seconds

PATIENCE: Final = Seconds(0.2)
"""Longest single wait, so that a person's interrupt is noticed."""


class Ending(Enum):
    """Why a capture ended; only the first lets one hope that it is whole."""

    QUIET = "the board fell quiet"
    TOO_LONG = "it was still talking"
    NOTHING = "nothing came"
    LOST = "the port went away"


@dataclass(frozen=True, slots=True, kw_only=True)
class Captured:
    """What came back, byte for byte."""

    data: bytes
    ending: Ending


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """When to stop listening."""

    quiet: Seconds
    first: Seconds
    longest: Seconds


def capture(
    wire: Wire,
    line: bytes,
    *,
    quiet: Seconds,
    first: Seconds,
    longest: Seconds,
    clock: Clock,
) -> Captured:
    """Send `line` as it stands (its line end included) and keep what comes.

    Args:
        wire: Open, and used by nobody else meanwhile.
        line: What to send.
        quiet: Silence after the last byte that counts as the end.
        first: How long the first byte may take once the line has been handed over.
        longest: The whole of it.
        clock: The moment now.
    """
    limits = Limits(quiet=quiet, first=first, longest=longest)
    start = clock()
    heard = bytearray()
    try:
        send_whole(wire, line, Seconds(start + limits.longest), clock)
        ending = _listen(wire, heard, limits, clock)
    except PortLostError:
        ending = Ending.LOST
    return Captured(data=bytes(heard), ending=ending)


def send_whole(wire: Wire, line: bytes, until: Seconds, clock: Clock) -> None:
    """Hand bytes over to a wire, all of them where it takes them in time.

    Raises:
        PortLostError: the port went away.
    """
    rest = line
    with selectors.DefaultSelector() as selector:
        selector.register(wire, selectors.EVENT_WRITE)
        while rest and clock() < until:
            selector.select(PATIENCE)
            rest = rest[wire.write(rest) :]


def _listen(wire: Wire, heard: bytearray, limits: Limits, clock: Clock) -> Ending:
    start = last = clock()
    with selectors.DefaultSelector() as selector:
        selector.register(wire, selectors.EVENT_READ)
        while True:
            ends = start + limits.longest
            silence = limits.quiet if heard else limits.first
            ends = min(ends, last + silence)
            ready = selector.select(max(0.0, min(PATIENCE, ends - clock())))
            now = clock()
            if ready:
                heard += wire.read_ready()
                last = now
            elif now >= last + silence:
                return Ending.QUIET if heard else Ending.NOTHING
            if now >= start + limits.longest:
                return Ending.TOO_LONG if heard else Ending.NOTHING

"""What the link thread does: bytes in, bytes out, time, and nothing else.

Theory of operation. The thread sleeps until the wire has bytes or room, the bell
rings, or the conversation's deadline comes. What other threads want lies in the inbox;
after the bell it leaves first, before anything is read. While a long listing comes in,
its bytes may gather for `GATHER`, and the bell still cuts in. A vanished port (or a
recording that was sent something else) ends the wire, an unexpected error ends the
asking; neither ends the thread, which goes on to try whatever stop is still asked for.
"""

import selectors
import threading
from collections.abc import Callable
from enum import Enum
from typing import Final, final

from benchlink.errors import BenchError, LinkError
from benchlink.link.bell import Bell, new_selector
from benchlink.link.clock import Clock
from benchlink.link.inbox import Inbox, Wanted
from benchlink.link.ledger import Ledger
from benchlink.link.talk import Talk
from benchlink.link.tally import Tally
from benchlink.link.wire import Wire
from benchlink.units import Seconds

LISTING_BYTES: Final = 256
"""This much received since the last write is a listing, not an answer in a window."""

GATHER: Final = Seconds(0.003)
"""How long a listing's bytes may gather: 35 bytes at 115,200 baud, one turn."""

SHORTEST_WAIT: Final = Seconds(0.001)
"""A deadline that is over already must not turn the thread into a spinning one."""

STUCK_WAIT: Final = Seconds(0.02)
"""The same while the wire takes no bytes; room on it ends the wait at once."""

TROUBLED_WAIT: Final = Seconds(0.1)
"""Between two tries to get a stop out after something broke."""


class Source(Enum):
    """What the thread can wait for besides time."""

    BELL = "bell"
    WIRE = "wire"


@final
class Engine:
    """Every method runs on the link thread; the other threads use the three doors."""

    def __init__(self, wire: Wire, talk: Talk, clock: Clock, tally: Tally) -> None:
        self._wire: Final = wire
        self._talk: Final = talk
        self._clock: Final = clock
        self._tally: Final = tally
        self._selector: Final = new_selector()
        self._chunk = b""
        self._unsent = b""
        self._since_write = 0
        self._gathers = False
        self._wire_open = True
        self.ledger: Final = Ledger(talk, wire, tally)
        self.inbox: Final = Inbox()
        self.bell: Final = Bell()
        self.news: Final = threading.Condition()
        """Notified whenever a caller may have something to see."""
        self.trouble: BenchError | None = None
        """Why nothing can be asked any more."""
        self.closing = False
        self._selector.register(self.bell, selectors.EVENT_READ, Source.BELL)
        self._selector.register(wire, selectors.EVENT_READ, Source.WIRE)

    def run(self) -> None:
        """Turn until told to close; whatever goes wrong is kept for the callers."""
        while not self.closing:
            self._guarded(self._troubled_turn if self.trouble else self._turn)
            self._tell()
        self._guarded(self._last_words)
        self._give_up(LinkError("the link was closed"))
        self._let_go()
        self._selector.close()
        self._tell()

    def _guarded(self, work: Callable[[], None]) -> None:
        try:
            work()
        except LinkError as trouble:
            self._give_up(trouble)
            self._let_go()
            self._guarded(self._tell_talk)
        except Exception as trouble:  # noqa: BLE001 - told to callers, not the screen
            message = f"the link broke down: {type(trouble).__name__}: {trouble}"
            hint = "A mistake of ours. Close and connect again; if it moves: pack out."
            broken = LinkError(message, hint=hint)
            broken.__cause__ = trouble
            self._give_up(broken)

    def _turn(self) -> None:
        ready = self._wait()
        now = self._clock()
        self._serve(self.inbox.take(), now)
        if Source.BELL in ready:
            self.bell.hush()
        if Source.WIRE in ready:
            self._read(now)
        self._talk.tick(now)
        self._settle()
        # Again, because the bell was hushed after the first look.
        self._serve(self.inbox.take(), now)
        self._write(now)

    def _wait(self) -> set[Source]:
        now = self._clock()
        due = self._talk.deadline(now)
        longest = None if due is None else max(SHORTEST_WAIT, due - now)
        if self._unsent:
            longest = None if longest is None else max(STUCK_WAIT, longest)
        elif self._gathers:
            gather = GATHER if longest is None else min(GATHER, longest)
            self.bell.wait(Seconds(gather))
            longest, self._gathers = 0.0, False
        return {key.data for key, _ in self._selector.select(longest)}

    def _serve(self, wanted: Wanted | None, now: Seconds) -> None:
        if wanted:
            self.ledger.take(wanted)
            self._settle()
            self._write(now)

    def _read(self, now: Seconds) -> None:
        data = self._wire.read_ready()
        self._tally.hear(data)
        self._since_write += len(data)
        self._gathers = bool(data) and self._since_write > LISTING_BYTES
        if data:
            self.ledger.overhear(data)
            self._talk.feed(data, now)

    def _settle(self) -> None:
        while True:
            events = self._talk.events()
            self.ledger.settle(events)
            if not self.ledger.refill() and not events:
                return

    def _write(self, now: Seconds) -> None:
        while self._unsent or self._next_chunk(now):
            taken = self._wire.write(self._unsent)
            self._tally.sent += taken
            self._unsent = self._unsent[taken:]
            if self._unsent:
                break
            self.ledger.left(self._chunk)
        mask = selectors.EVENT_READ
        if self._unsent:
            mask |= selectors.EVENT_WRITE
        if self._selector.get_key(self._wire).events != mask:
            self._selector.modify(self._wire, mask, Source.WIRE)

    def _next_chunk(self, now: Seconds) -> bool:
        self._chunk = self._unsent = self._talk.outgoing(now)
        if self._chunk:
            self._since_write = 0
            self._gathers = False
        return bool(self._chunk)

    def _troubled_turn(self) -> None:
        self.bell.wait(TROUBLED_WAIT)
        self.bell.hush()
        self._last_words()

    def _last_words(self) -> None:
        wanted = self.inbox.take()
        if wanted and self.trouble:
            for asking in wanted.askings:
                asking.fail(self.trouble)
            self.ledger.news = True
        if self._wire_open:
            self._talk.hush()
            for stopping in wanted.stops if wanted else ():
                self.ledger.take_stop(stopping)
            self._write(self._clock())

    def _give_up(self, trouble: BenchError) -> None:
        self.trouble = self.trouble or trouble
        self.ledger.fail(self.trouble)

    def _let_go(self) -> None:
        if self._wire_open:
            self._wire_open = False
            self._selector.unregister(self._wire)
            self._wire.close()

    def _tell_talk(self) -> None:
        self._talk.lost()
        self.ledger.settle(self._talk.events())

    def _tell(self) -> None:
        if self.ledger.news:
            self.ledger.news = False
            with self.news:
                self.news.notify_all()

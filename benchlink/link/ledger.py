"""Who waits for which ticket; used by the link thread only."""

from typing import TYPE_CHECKING, Final, final

from benchlink.console.events import (
    Answered,
    BecameReady,
    Event,
    Heard,
    Replaced,
    Silent,
    StartedByItself,
    StillTalking,
)
from benchlink.console.lanes import Lane
from benchlink.console.phases import Phase
from benchlink.core.exchange import Answer, Verdict
from benchlink.core.utterance import endless
from benchlink.errors import BenchError, MisuseError
from benchlink.link.inbox import Stopping, Wanted
from benchlink.link.silence import silent_board
from benchlink.link.talk import Talk
from benchlink.link.tally import Tally
from benchlink.link.wire import Wire

if TYPE_CHECKING:
    from benchlink.link.asking import Asking

AHEAD: Final = 16
"""Bulk commands inside the conversation: enough to fill any window, few to regret."""

HEARD_BYTES: Final = 256
"""How much of what a board without a prompt says is kept for messages."""


@final
class Ledger:
    """Hands commands to the conversation and its events to those who wait."""

    def __init__(self, talk: Talk, wire: Wire, tally: Tally) -> None:
        self._talk: Final = talk
        self._wire: Final = wire
        self._tally: Final = tally
        self._asking: Asking | None = None
        self._tickets: Final[dict[int, tuple[Asking, int]]] = {}
        self._stops: Final[dict[int, Stopping]] = {}
        self.phase = talk.phase
        """As the callers may see it: never behind the answers they have."""
        self.heard = b""
        """What a board without a prompt said."""
        self.logins = 0
        """How often a login was answered to it, and did not open it."""
        self.talking = False
        """Whether the board is waited for beyond its patience, for it goes on printing."""
        self.news = False
        """Something a caller may be waiting for has happened."""

    def take(self, wanted: Wanted) -> None:
        """Submit what came in, most urgent first."""
        for stopping in wanted.stops:
            self.take_stop(stopping)
        for slot, command in wanted.live:
            try:
                self._talk.submit(Lane.LIVE, command, slot=slot)
            except MisuseError as trouble:
                self._tally.unasked(f"not sent: {trouble}")
        for asking in wanted.askings:
            self._asking = asking
            if self._talk.phase is Phase.FAILED:
                self.fail(self._silence())

    def take_stop(self, stopping: Stopping) -> None:
        """Submit a stop, whatever else is the matter; no motion goes after it."""
        if self._asking:
            self._asking.stopped = True
        try:
            ticket = self._talk.submit(Lane.STOP, stopping.command)
        except MisuseError as trouble:
            self._tally.unasked(f"not sent: {trouble}")
        else:
            self._stops[ticket] = stopping

    def refill(self) -> bool:
        """Submit bulk commands up to `AHEAD`; False when there was nothing to do."""
        asking, found = self._asking, False
        while asking and asking.in_flight < AHEAD and (todo := asking.next_command()):
            place, command = todo
            try:
                ticket = self._talk.submit(Lane.BULK, command)
            except MisuseError as trouble:
                self.fail(trouble)
            else:
                self._tickets[ticket] = (asking, place)
                found = True
        return found

    def settle(self, events: list[Event]) -> None:
        """Pass on what the conversation reports."""
        self.phase = self._talk.phase  # before an answer that ended it can be seen
        silences = [event for event in events if isinstance(event, Silent)]
        if silences:  # before the answers, which then are all the same: none
            self.heard, self.logins = silences[-1].heard, silences[-1].logins
            self.fail(self._silence())
        for event in events:
            self._pass_on(event)

    def overhear(self, data: bytes) -> None:
        """Remember what a board says before its prompt stands."""
        if self.phase is not Phase.READY:
            self.heard = (self.heard + data)[-HEARD_BYTES:]

    def left(self, data: bytes) -> None:
        """These bytes are with the operating system."""
        for stopping in self._stops.values():
            if stopping.command.line.encode("ascii", "replace") == data.rstrip(b"\r\n"):
                stopping.gone.set()

    def fail(self, trouble: BenchError) -> None:
        """Whoever waits for answers gets this instead."""
        if self._asking:
            self._asking.fail(trouble)
            self._asking = None
        self.news = True

    def _pass_on(self, event: Event) -> None:
        match event:
            case Answered(ticket=ticket, answer=answer):
                self._answered(ticket, answer)
            case BecameReady():
                self.heard = b""
                self.news = True
            case StartedByItself():
                self._tally.reboots += 1
            case StillTalking():
                self.talking = self.news = True
            case Heard(line=line):
                self._tally.unasked(line)
            case Replaced() | Silent():
                pass

    def _answered(self, ticket: int, answer: Answer) -> None:
        self._tally.count(answer)
        stopping = self._stops.pop(ticket, None)
        waiting = self._tickets.pop(ticket, None)
        if stopping:
            self._tally.not_done(answer)
            lost = self._talk.phase is Phase.LOST
            if stopping.answered(answer, lost=lost):
                self.take_stop(stopping)
        elif waiting:
            asking, place = waiting
            if answer.verdict is Verdict.ENDLESS and asking is self._asking:
                # Whatever else was asked for would only wait for that end.
                self.fail(endless(answer.command.line, answer.remark))
            asking.fill(place, answer)
            self.news = self.news or asking.complete
        else:
            self._tally.not_done(answer)

    def _silence(self) -> BenchError:
        device = self._wire.device
        return silent_board(device.url, self._wire.speed, self.heard, self.logins)

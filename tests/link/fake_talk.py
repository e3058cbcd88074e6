"""A conversation without doubts: one line out, lines back, `ok` ends an answer."""

from collections import deque

from benchlink.console.events import Answered, BecameReady, Event, Heard, Silent
from benchlink.console.lanes import Lane
from benchlink.console.last_look import Epoch
from benchlink.console.phases import Phase
from benchlink.core.exchange import Answer, Command, Verdict
from benchlink.errors import MisuseError
from benchlink.units import Baud, Seconds

PROMPT = "ready"
STATUS = {
    "ok": Verdict.OK,
    "noted": Verdict.NOTED,
    "no": Verdict.REFUSED,
    "and so on": Verdict.ENDLESS,
}


def command(line: str, *, restarts: bool = False) -> Command:
    return Command(line=line, answer_within=Seconds(5.0), restarts=restarts)


class FakeTalk:
    def __init__(self, *, ready: bool = True, window: int = 2) -> None:
        self.phase = Phase.READY if ready else Phase.WAKING
        self.window = window
        self.due: Seconds | None = None
        self.fails_at = Seconds(float("inf"))
        self.ticks = 0
        self._tickets = 0
        self._stops: deque[tuple[int, Command]] = deque()
        self._live: dict[str, tuple[int, Command]] = {}
        self._bulk: deque[tuple[int, Command]] = deque()
        self._flying: deque[tuple[int, Command]] = deque()
        self._lines: list[str] = []
        self._partial = b""
        self._events: list[Event] = []

    def submit(self, lane: Lane, command: Command, *, slot: str = "") -> int:
        if not command.line.isprintable():
            msg = "not a plain line"
            raise MisuseError(msg)
        self._tickets += 1
        entry = (self._tickets, command)
        match lane:
            case Lane.STOP:
                self._stops.append(entry)
            case Lane.LIVE:
                self._live[slot] = entry
            case _:
                self._bulk.append(entry)
        return self._tickets

    def feed(self, data: bytes, now: Seconds) -> None:
        del now
        *whole, self._partial = (self._partial + data).split(b"\n")
        for line in whole:
            self._take(line.decode())

    def _take(self, line: str) -> None:
        if line == "boom":
            msg = "a mistake in the conversation"
            raise ZeroDivisionError(msg)
        if line == PROMPT:
            self.phase = Phase.READY
            self._events.append(BecameReady())
        elif not self._flying:
            self._events.append(Heard(line))
        elif line in STATUS:
            restarts = self._flying[0][1].restarts and line != "no"
            self._answer(STATUS[line], tuple(self._lines))
            self.phase = Phase.WAKING if restarts else self.phase
        else:
            self._lines.append(line)

    def _answer(self, verdict: Verdict, lines: tuple[str, ...] = ()) -> None:
        ticket, command = self._flying.popleft()
        answer = Answer(command=command, verdict=verdict, lines=lines)
        self._events.append(Answered(ticket, answer))
        self._lines = []

    def tick(self, now: Seconds) -> None:
        self.ticks += 1
        if now >= self.fails_at and self.phase is Phase.WAKING:
            self.phase = Phase.FAILED
            self._events.append(Silent(self._partial))

    def outgoing(self, now: Seconds) -> bytes:
        del now
        if self._stops:
            return self._leave(self._stops.popleft())
        if self.phase is not Phase.READY or len(self._flying) >= self.window:
            return b""
        if self._live:
            return self._leave(self._live.pop(next(iter(self._live))))
        return self._leave(self._bulk.popleft()) if self._bulk else b""

    def _leave(self, entry: tuple[int, Command]) -> bytes:
        self._flying.append(entry)
        return entry[1].line.encode() + b"\n"

    def deadline(self, now: Seconds) -> Seconds | None:
        del now
        return self.due

    def events(self) -> list[Event]:
        events, self._events = self._events, []
        return events

    def hush(self) -> None:
        """Nothing of this fake waits in a lane."""

    def lost(self) -> None:
        self.phase = Phase.LOST
        self._flying.extend(self._bulk)
        self._bulk.clear()
        while self._flying:
            self._answer(Verdict.UNANSWERED)


def begin_unready(speed: Baud | None, now: Seconds, epoch: Epoch) -> FakeTalk:
    del speed, now, epoch
    return FakeTalk(ready=False)

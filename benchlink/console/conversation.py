"""One conversation with a board, fed with bytes and time; it never reads or waits.

Theory of operation. Commands enter a lane (`submit`) and leave through the window
(`outgoing`) as whole lines. Bytes come in (`feed`), become lines, and the correlation
hands back answers as `events`. Time passes only through `tick`; `deadline` says when
the next tick can matter. A doubtful answer sends the conversation back to WAKING: the
prompt has to stand still before the next command leaves. Only a stop leaves always.
"""

from typing import Final, final

from benchlink.console.correlation import Correlation, Settled
from benchlink.console.description import Manner, Wake
from benchlink.console.events import (
    Answered,
    BecameReady,
    Event,
    Heard,
    Replaced,
    Silent,
)
from benchlink.console.framing import Framing
from benchlink.console.lanes import Lane, Lanes, Pending
from benchlink.console.phases import Input, Phase, step
from benchlink.console.terminal import Line, Terminal
from benchlink.console.window import Window
from benchlink.core.exchange import Answer, Command, Verdict
from benchlink.errors import MisuseError
from benchlink.units import Baud, Seconds, wire_time

SETTLE: Final = Seconds(0.02)
"""A prompt followed by this much silence stands still. Longer than the 16 ms after
which common USB serial adapters hand over what they hold."""

WAKE_EVERY: Final = Seconds(0.25)
"""Pause between two attempts to get a prompt."""

LEAD: Final = Seconds(0.002)
"""How far the bytes handed to the system may run ahead of a paced wire: what a stop
has to wait behind."""

LONGEST_PROMPT: Final = 256
"""Bytes of an unfinished line that may still be a prompt, redrawing included: noise
without line ends costs no more than that to look at."""

HEARD_BYTES: Final = 256
"""How much of what a board without a prompt said is kept for the message."""


ACTED: Final = frozenset({Verdict.OK, Verdict.NOTED})
"""Verdicts of a restart that is coming."""


@final
class Conversation:
    """The console side of one open port."""

    def __init__(self, manner: Manner, *, speed: Baud | None, now: Seconds) -> None:
        self._manner: Final = manner
        self._speed: Final = speed
        self._framing: Final = Framing(manner)
        self._terminal: Final = Terminal()
        self._correlation: Final = Correlation(self._framing)
        self._lanes: Final = Lanes()
        self._window: Final = Window(manner.window_bytes)
        self._events: list[Event] = []
        self._tickets = 0
        self.phase = Phase.WAKING
        self._patience = manner.patience
        self._banner_due = False
        self._waking_since = self._next_wake = now
        self._last_heard = self._last_step = now
        self._wire_free_at = now
        self._tail = bytearray()
        self._stale = b""
        """An unfinished line from before a doubt: as a prompt it proves nothing."""

    def submit(self, lane: Lane, command: Command, *, slot: str = "") -> int:
        """Queue a command and give the ticket under which its answer will come.

        Raises:
            MisuseError: the line holds a control character or is too long.
        """
        if not command.line.isprintable() or not command.line.isascii():
            msg = f"not a plain line: {command.line!r}"
            raise MisuseError(msg)
        if len(command.line) > self._manner.longest_line:
            msg = f"{command.line!r} is longer than the board's line"
            raise MisuseError(msg)
        self._tickets += 1
        data = command.line.encode("ascii") + self._manner.line_end.value
        pending = Pending(self._tickets, lane, command, data)
        if self.phase in {Phase.LOST, Phase.FAILED} and lane is not Lane.STOP:
            self._unanswered(pending, self.phase.value)
            return pending.ticket
        if lane is Lane.STOP:
            # Nothing that moves may follow a stop just because it waited already.
            for dropped in self._lanes.drop_passing():
                self._events.append(Replaced(dropped.ticket))
        replaced = self._lanes.push(pending, slot)
        if replaced:
            self._events.append(Replaced(replaced.ticket))
        return pending.ticket

    def feed(self, data: bytes, now: Seconds) -> None:
        """Take what the board said."""
        self._last_heard = now
        self._tail = (self._tail + data)[-HEARD_BYTES:]
        steps = self._correlation.steps
        lines = self._terminal.feed(data)
        if lines:
            self._stale = b""
        for line in lines:
            self._take_line(line, now)
        if self._correlation.receiving and self._at_prompt:
            self._take_prompt(now, stands_still=False)
        if self._correlation.steps != steps:
            self._last_step = now

    def tick(self, now: Seconds) -> None:
        """Let time pass."""
        if self._correlation.receiving and self._stands_still(now):
            self._take_prompt(now, stands_still=True)
        if self._answer_overdue(now):
            self._stale = self._terminal.partial_raw
            self._settle(self._correlation.give_up("nothing came in time"), now)
        if self.phase is not Phase.WAKING or self._correlation.in_flight:
            return
        if self._stands_still(now):
            self._step(Input.PROMPT)
            self._events.append(BecameReady())
        elif now >= self._waking_since + self._patience:
            self._step(Input.PATIENCE_OVER)
            self._abandon_all(Phase.FAILED.value)
            self._events.append(Silent(bytes(self._tail)))

    def outgoing(self, now: Seconds) -> bytes:
        """The next bytes to write now, a whole line or nothing; given out is sent."""
        stop = self._lanes.next_stop()
        if stop:
            return self._send(stop, now)
        if now < self._room_at:
            return b""
        if self.phase is Phase.WAKING:
            return self._wake(now)
        if self.phase is not Phase.READY:
            return b""
        pending = self._lanes.next(self._correlation.in_flight, self._window)
        return self._send(pending, now) if pending else b""

    def deadline(self, now: Seconds) -> Seconds | None:
        """When to call `tick` and `outgoing` next if no byte comes before."""
        due: list[float] = []
        in_flight = self._correlation.in_flight
        if in_flight:
            due.append(self._last_step + in_flight[0].command.answer_within)
        waking = self.phase is Phase.WAKING
        if waking and not in_flight:
            due.append(self._waking_since + self._patience)
        if self._at_prompt:
            if self._correlation.receiving or (waking and not in_flight):
                due.append(self._last_heard + SETTLE)
        elif waking and not self._banner_due:
            due.append(max(self._next_wake, self._room_at))
        if now < self._room_at:
            due.append(self._room_at)
        return Seconds(min(due)) if due else None

    def events(self) -> list[Event]:
        """What happened since the last call."""
        events, self._events = self._events, []
        return events

    def reopen(self, now: Seconds) -> None:
        """The board starts afresh: nothing outstanding will be answered."""
        self._start_afresh(now)
        self._terminal.forget()

    def _start_afresh(self, now: Seconds) -> None:
        self._step(Input.RESTART)
        self._abandon_all("the board restarted")
        self._window.emptied()
        self._patience = self._manner.back_within
        self._banner_due = bool(self._manner.banner)
        self._waking_since = self._next_wake = self._last_heard = now

    def lost(self) -> None:
        """The wire is gone; a new one needs a new conversation."""
        self._step(Input.WIRE_LOST)
        self._abandon_all(Phase.LOST.value)

    @property
    def _at_prompt(self) -> bool:
        raw = self._terminal.partial_raw
        if self._banner_due or raw == self._stale or len(raw) > LONGEST_PROMPT:
            return False
        return self._framing.is_prompt(self._terminal.partial)

    @property
    def _room_at(self) -> Seconds:
        """When the next line may be handed over, the wire being almost free."""
        return Seconds(self._wire_free_at - LEAD)

    def _stands_still(self, now: Seconds) -> bool:
        return now >= self._last_heard + SETTLE and self._at_prompt

    def _answer_overdue(self, now: Seconds) -> bool:
        in_flight = self._correlation.in_flight
        if not in_flight:
            return False
        return now >= self._last_step + in_flight[0].command.answer_within

    def _take_prompt(self, now: Seconds, *, stands_still: bool) -> None:
        settled = self._correlation.prompt(stands_still=stands_still)
        self._settle(settled, now)
        if any(one.pending.command.restarts for one in settled):
            # Said before the restart: what the board says next is a new line.
            self._terminal.forget()

    def _take_line(self, line: Line, now: Seconds) -> None:
        self._settle(self._correlation.line(line), now)
        heard = self._correlation.heard
        while heard:
            text = heard.popleft()
            self._events.append(Heard(text))
            if self._banner_due and any(
                banner.match(text) is not None for banner in self._manner.banner
            ):
                self._banner_due = False

    def _settle(self, settled: list[Settled], now: Seconds) -> None:
        for one in settled:
            trusted = one.answer.trusted
            self._window.answered(len(one.pending.data), trusted=trusted)
            self._events.append(Answered(one.pending.ticket, one.answer))
            self._last_step = now
            if not trusted:
                self._doubt(now)
            elif one.pending.command.restarts and one.answer.verdict in ACTED:
                self._start_afresh(now)
            elif self.phase is Phase.WAKING:
                self._waking_since = now

    def _doubt(self, now: Seconds) -> None:
        if self.phase not in {Phase.READY, Phase.WAKING}:
            return
        self._step(Input.DOUBT)
        for pending in self._lanes.drop_passing():
            self._events.append(Replaced(pending.ticket))
        if self._banner_due:
            return  # a board in its restart keeps the time that a restart may take
        self._patience = self._manner.patience
        self._waking_since = self._next_wake = now

    def _wake(self, now: Seconds) -> bytes:
        if self._banner_due or now < self._next_wake or self._at_prompt:
            return b""
        self._next_wake = Seconds(now + WAKE_EVERY)
        match self._manner.wake:
            case Wake.ABANDON:
                return self._manner.abandon
            case Wake.LINE_END:
                return self._manner.line_end.value
            case Wake.NOTHING:
                return b""

    def _send(self, pending: Pending, now: Seconds) -> bytes:
        if not self._correlation.in_flight:
            self._last_step = now
        self._correlation.sent(pending)
        self._window.sent(len(pending.data))
        started = max(now, self._wire_free_at)
        self._wire_free_at = Seconds(
            started + wire_time(len(pending.data), self._speed)
        )
        return pending.data

    def _abandon_all(self, why: str) -> None:
        for one in self._correlation.give_up(why):
            self._events.append(Answered(one.pending.ticket, one.answer))
        for pending in self._lanes.drop_all():
            self._unanswered(pending, why)

    def _unanswered(self, pending: Pending, why: str) -> None:
        answer = Answer(command=pending.command, verdict=Verdict.UNANSWERED, remark=why)
        self._events.append(Answered(pending.ticket, answer))

    def _step(self, given: Input) -> None:
        self.phase = step(self.phase, given)

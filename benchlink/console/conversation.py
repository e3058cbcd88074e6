"""One conversation with a board, fed with bytes and time; it never reads or waits.

Theory of operation. Commands enter a lane (`submit`) and leave through the window
(`outgoing`) as whole lines. Bytes come in (`feed`), become lines, and the correlation
hands back answers as `events`. Time passes only through `tick`; `deadline` says when
the next tick can matter. A doubtful answer sends the conversation back to WAKING: the
prompt has to stand still before the next command leaves. Only a stop leaves always.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Final, final

from benchlink.console.correlation import Correlation, Settled
from benchlink.console.crossing import Crossing
from benchlink.console.dead_hand import DeadHand
from benchlink.console.deadlines import Deadlines
from benchlink.console.description import Manner
from benchlink.console.events import (
    BecameReady,
    Event,
    Heard,
    StartedByItself,
    StillTalking,
)
from benchlink.console.framing import Framing
from benchlink.console.lanes import Lane, Lanes, Pending
from benchlink.console.last_look import LastLook
from benchlink.console.orders import OWN, Orders
from benchlink.console.pace import Pace
from benchlink.console.phases import Input, Phase, step
from benchlink.console.progress import Progress
from benchlink.console.terminal import Line, Terminal, cut_by_force
from benchlink.console.unfinished import SETTLE, Unfinished
from benchlink.console.waking import CUT_OFF, Waking
from benchlink.console.window import Window
from benchlink.core.exchange import ACTED, Command, Verdict
from benchlink.units import Baud, Seconds

HEARD_BYTES: Final = 256
"""How much of what a board without a prompt said is kept for the message."""


@final
class Conversation:
    """The console side of one open port."""

    def __init__(
        self,
        manner: Manner,
        *,
        speed: Baud | None,
        now: Seconds,
        told: Mapping[str, str] | None = None,
        look: LastLook | None = None,
        dead_hand: DeadHand | None = None,
    ) -> None:
        self._manner: Final = manner
        self._framing: Final = Framing(manner)
        self._terminal: Final = Terminal(
            cr_ends=manner.board_ends_with_cr, charset=manner.charset
        )
        self._correlation: Final = Correlation(self._framing)
        self._lanes: Final = Lanes()
        self._window: Final = Window(manner.window)
        self._pace: Final = Pace(speed, manner.pause, now)
        self._progress: Final = Progress(self._pace, now)
        self._crossing: Final = Crossing(self._framing, self._pace)
        self._waking: Final = Waking(manner, told or {}, now)
        self._unfinished: Final = Unfinished(
            self._framing, self._terminal, self._waking, now
        )
        self._dead_hand: Final = dead_hand or DeadHand()
        self._deadlines: Final = Deadlines(
            self._correlation,
            self._crossing,
            self._pace,
            self._progress,
            self._unfinished,
            self._waking,
            self._dead_hand,
        )
        self._events: Final[list[Event]] = []
        self._orders: Final = Orders(manner, self._lanes, self._events)
        self._look: Final = look or LastLook()
        self.phase = Phase.WAKING
        self._met = False
        """Whether it listened since it started: a banner now is a start of its own."""
        self._replies = b""
        self._tail = bytearray()

    def submit(self, lane: Lane, command: Command, *, slot: str = "") -> int:
        """Queue a command and give the ticket under which its answer will come.

        Raises:
            MisuseError: the line holds a control character or is too long.
        """
        pending = self._orders.pending(lane, command)
        if self.phase in {Phase.LOST, Phase.FAILED} and lane is not Lane.STOP:
            self._orders.unanswered(pending, self.phase.value)
        else:
            self._orders.queue(pending, slot)
        return pending.ticket

    def feed(self, data: bytes, now: Seconds) -> None:
        """Take what the board said."""
        if self._waking.banner_due or self._correlation.restarting:
            silent = now - self._unfinished.last_heard - self._pace.took(len(data))
            if silent >= CUT_OFF:
                self._waking.resumed(self._terminal.partial)
        self._tail = (self._tail + data)[-HEARD_BYTES:]
        steps = self._correlation.steps
        lines = self._terminal.feed(data)
        self._progress.heard(
            len(data), self._terminal.partial_size, now, line_ended=bool(lines)
        )
        self._unfinished.heard(now, line_ended=bool(lines))
        if self._crossing.possible:
            self._pace.heard(len(data), now)
            self._take_uncrossed(lines, now)
        else:
            for line in lines:
                self._take_line(line, now, last=self._stands_last(line, lines))
        self._take_unfinished(now)
        if self._draws:
            self._progress.draws(now)
        if self._correlation.steps != steps and not cut_by_force(lines):
            self._progress.step(now)

    def tick(self, now: Seconds) -> None:
        """Let time pass."""
        deadlines = self._deadlines
        if self._dead_hand.stop and self._dead_hand.over(now):
            self._dead_hand.said(self.submit(Lane.STOP, self._dead_hand.stop))
        if deadlines.prompt_stands(now) and (
            before := self._unfinished.end_before_prompt()
        ):
            self._take_line(before, now)
        if self._correlation.receiving and deadlines.answer_stands(now):
            self._take_prompt(now, stands_still=True)
        if deadlines.fell_quiet(now):
            self._settle(self._correlation.fell_quiet(), now)
        if deadlines.answer_overdue(now):
            missing = self._unfinished.missing
            self._unfinished.doubted()
            self._settle(self._correlation.give_up(missing), now)
        if self.phase is Phase.WAKING:
            self._wait_for_prompt(now)

    def _wait_for_prompt(self, now: Seconds) -> None:
        if self._waking.still_talking(now):
            self._events.append(StillTalking())
        if self._correlation.in_flight:
            return
        if self._unfinished.listens(now) and self._waking.question() is None:
            self._step(Input.PROMPT)
            self._waking.listened()
            self._met = True
            self._events.append(BecameReady())
        elif now >= self._waking.patience_over:
            self._step(Input.PATIENCE_OVER)
            self._abandon_all(Phase.FAILED.value)
            self._events.append(self._waking.silence(bytes(self._tail)))

    def outgoing(self, now: Seconds) -> bytes:
        """The next bytes to write now, a whole line or nothing; given out is sent."""
        if now >= self._pace.stop_at and (stop := self._lanes.next_stop()):
            self._dead_hand.stopped()
            return self._send(stop, now)
        if self._replies:
            replies, self._replies = self._replies, b""
            return replies
        if now < self._pace.room_at:
            return b""
        if self.phase is Phase.WAKING:
            return self._wake(now)
        return self._waiting(now) if self.phase is Phase.READY else b""

    def _waiting(self, now: Seconds) -> bytes:
        """The next line from the lanes; what is held back makes room for another."""
        while pending := self._lanes.next(self._correlation.in_flight, self._window):
            if data := self._send(pending, now):
                return data
        return b""

    def deadline(self, now: Seconds) -> Seconds | None:
        """When to call `tick` and `outgoing` next if no byte comes before."""
        waking = self.phase is Phase.WAKING
        return self._deadlines.next(now, waking=waking, stopping=self._lanes.stopping)

    def events(self) -> list[Event]:
        """What happened since the last call."""
        events = self._events.copy()
        self._events.clear()
        return events

    def _start_afresh(self, now: Seconds) -> None:
        self._step(Input.RESTART)
        self._met = False
        self._dead_hand.started()
        self._abandon_all("the board restarted")
        self._window.emptied()
        self._waking.restart(now)
        self._look.started()
        self._unfinished.last_heard = now

    def hush(self) -> None:
        """Send nothing more but stops: the link is closing, or something broke."""
        self._orders.drop_all("the link was closed")

    def lost(self) -> None:
        """The wire is gone; a new one needs a new conversation."""
        self._step(Input.WIRE_LOST)
        self._abandon_all(Phase.LOST.value)

    @property
    def _draws(self) -> bool:
        """Whether an answer that has begun stands in an unfinished line."""
        drawn = self._correlation.receiving and self._terminal.partial_size
        return bool(drawn) and not self._unfinished.at_prompt

    def _stands_last(self, line: Line, lines: list[Line]) -> bool:
        """Whether nothing has come behind a line."""
        return line is lines[-1] and not self._terminal.partial_size

    def _take_under(self, under: str, now: Seconds) -> bool:
        """Whether a prompt that was drawn anew stood over the end of an answer."""
        line = self._unfinished.line_under(under)
        if line is not None:
            self._take_line(line, now)
        return line is not None

    def _take_unfinished(self, now: Seconds) -> None:
        """An unfinished line may be a prompt, a question, a pager, or a login."""
        if not self._unfinished.may_be_prompt:
            return
        if self._take_under(self._terminal.under, now):
            self._terminal.under = ""
        partial = self._terminal.partial
        if self._framing.is_pager(partial) and self._manner.pager:
            self._replies += self._waking.reply(self._manner.pager)
            self._progress.step(now)
            self._terminal.forget()
            self._correlation.paged()
        elif self.phase is Phase.WAKING:
            self._replies += self._waking.cue(partial, now)
        receiving = self._correlation.receiving
        at_prompt = self._unfinished.at_prompt
        # Back from a start of its own: the next banner is one more.
        self._met = self._met or (at_prompt and self.phase is Phase.READY)
        if receiving and at_prompt:
            self._crossing.look(receiving, self._terminal.partial_size, now)
            at_prompt = not self._crossing.prompt_bytes
        if receiving and (at_prompt or receiving.shows(partial)):
            self._take_prompt(now, stands_still=False)

    def _take_uncrossed(self, lines: list[Line], now: Seconds) -> None:
        """All but the prompts that were said before the command was there."""
        behind = self._terminal.partial_size + sum(len(line.raw) for line in lines)
        for line in lines:
            behind -= len(line.raw)
            ended = Seconds(now - self._pace.took(behind))
            if not self._crossing.holds(self._correlation.receiving, line, ended):
                self._take_line(line, now, last=self._stands_last(line, lines))

    def _take_prompt(self, now: Seconds, *, stands_still: bool) -> None:
        partial = self._terminal.partial
        self._correlation.drawn_over(self._terminal.under)
        settled = self._correlation.unfinished(partial, stands_still=stands_still)
        self._settle(settled, now)
        answers_next = bool(settled and self._correlation.receiving)
        if answers_next or any(one.pending.command.restarts for one in settled):
            # What the board says next is a new line: an answer that no echo precedes,
            # or the start.
            self._terminal.forget()

    def _take_line(self, line: Line, now: Seconds, *, last: bool = True) -> None:
        if self._take_under(line.under, now):
            line = replace(line, under="")
        if self._waking.is_banner(line.text):
            if self._met and not self._correlation.restarting:
                # Without a prompt nothing shows when it is back: each banner counts.
                self._met = self._manner.prompt is None and self.phase is Phase.READY
                self._look.started()
                self._dead_hand.started()
                self._events.append(StartedByItself())
            # A board that goes down without another prompt answers with its return.
            self._settle(self._correlation.restarted(), now)
            if self._waking.calling:
                # It was not there yet when the hello came.
                self._settle(self._correlation.give_up("the board starts"), now)
        self._settle(self._correlation.line(line), now)
        if self.phase is Phase.WAKING:
            # Not what was answered while unfinished: a secret must not be said twice.
            self._replies += self._waking.cue(line.text, now, last=last)
            chatter = self._framing.is_chatter(line.text)
            self._waking.said(line.text, now, chatter=chatter)
        heard = self._correlation.heard
        while heard:
            text = heard.popleft()
            self._events.append(Heard(text))
            self._waking.heard(text, now)
        self._waking.line_ended()

    def _settle(self, settled: list[Settled], now: Seconds) -> None:
        for one in settled:
            trusted = self._judge(one, now)
            self._progress.step(now)
            self._pace.answered(now)
            self._crossing.over()
            if not trusted:
                self._doubt(now)
                if one.answer.verdict is Verdict.ENDLESS:
                    self._abandon_all(Verdict.ENDLESS.value)
                if one.pending.command.restarts and self.phase is Phase.WAKING:
                    self._waking.hold(now)
            elif one.pending.command.restarts and one.answer.verdict in ACTED:
                self._start_afresh(now)
            elif self.phase is Phase.WAKING:
                self._waking.progress(now)

    def _judge(self, one: Settled, now: Seconds) -> bool:
        """Whether the answer proves anything; it is handed on to whoever asked."""
        sent = len(one.pending.data)
        if one.pending.ticket != OWN:
            self._window.answered(sent, trusted=one.answer.trusted)
            self._answered(one)
            return one.answer.trusted
        calling = self._waking.calling
        proven = self._waking.answered(one.answer, now)
        if calling and not proven:
            self._window.released(sent)
        else:
            self._window.answered(sent, trusted=proven)
        return proven

    def _doubt(self, now: Seconds) -> None:
        if self.phase not in {Phase.READY, Phase.WAKING}:
            return
        anew = self.phase is Phase.READY
        self._step(Input.DOUBT)
        self._orders.drop_passing()
        self._waking.doubt(now, anew=anew)

    def _wake(self, now: Seconds) -> bytes:
        waking = self._waking
        if waking.banner_due or now < waking.deaf_until or self._correlation.in_flight:
            return b""
        question = waking.question()
        if question is not None and (waking.calling or self._unfinished.listens(now)):
            if waking.calling and now < waking.next_wake:
                return b""
            waking.asked(now)
            waking.next_wake = Seconds(now + SETTLE)
            return self._send(self._orders.own(question), now)
        if now < waking.next_wake or self._unfinished.at_prompt:
            return b""
        # A question that a doubt left open stood there before it was a cue.
        reply = waking.cue(self._terminal.partial, now)
        if reply or now < waking.next_wake or self._manner.prompt is None:
            return reply
        return waking.push(now)

    def _send(self, pending: Pending, now: Seconds) -> bytes:
        """The bytes of a line, which is then on its way; nothing where it is held."""
        against = self._look.against(pending, now)
        if against:
            self._orders.unanswered(pending, f"held back: {against}")
            return b""
        self._look.left(pending)
        self._window.sent(len(pending.data))
        arrives = self._pace.sent(len(pending.data), now)
        if not self._correlation.in_flight:
            self._progress.step(arrives)
        pending = replace(pending, arrives=arrives)
        self._dead_hand.left(pending.command, arrives)
        more = not pending.command.key and self._correlation.asks(
            self._terminal.partial
        )
        drawn_behind = self._framing.echoes and not pending.command.key
        if (self._unfinished.at_prompt or more) and not drawn_behind:
            # Nothing is drawn behind this prompt: what comes next begins a line, and the
            # prompt that stands there answers nothing.
            self._terminal.forget()
        self._settle(self._correlation.sent(pending), now)
        return pending.data

    def _abandon_all(self, why: str) -> None:
        for one in self._correlation.give_up(why):
            self._answered(one)
        self._orders.drop_all(why)

    def _answered(self, one: Settled) -> None:
        """Tell whoever asked; a stop that nobody watches is watched from here."""
        self._orders.answered(one)
        hand, verdict = self._dead_hand, one.answer.verdict
        if hand.stop and hand.again(one.pending.ticket, verdict):
            hand.said_again(self.submit(Lane.STOP, hand.stop))

    def _step(self, given: Input) -> None:
        self.phase = step(self.phase, given)

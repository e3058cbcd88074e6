"""The real conversation against the real device core, in virtual time.

Implements the `Board` door, so a whole workflow runs in milliseconds with no port,
no thread and no sleep.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import final

import pytest

from benchlink.console.conversation import Conversation
from benchlink.console.dead_hand import DeadHand
from benchlink.console.description import Description
from benchlink.console.events import (
    Answered,
    BecameReady,
    Event,
    Silent,
    StartedByItself,
)
from benchlink.console.grammar import Grammar
from benchlink.console.lanes import Lane
from benchlink.console.last_look import LastLook
from benchlink.console.phases import Phase
from benchlink.core.doors import LinkHealth, Progress
from benchlink.core.exchange import Answer, Command
from benchlink.errors import SilentBoardError
from benchlink.units import Baud, Seconds
from mocks.device import Device
from mocks.options import Options
from mocks.uart import Line

US = 1_000_000


@final
class VirtualBoard:
    def __init__(
        self,
        description: Description,
        options: Options | None = None,
        *,
        speed: Baud | None = None,
        damage: Callable[[bytes], bytes] = bytes,
        told: Mapping[str, str] | None = None,
        piece_bytes: int = 0,
        found: bytes = b"",
    ) -> None:
        self.description = description
        self.grammar = Grammar(description)
        self.told = told
        self.options = options or Options()
        self.device = Device(self.options)
        self.line = Line(self.device, self.options)
        self.now_us = 0
        self.epoch = 1
        self.port = "virtual"
        self.speed = speed
        self.damage = damage
        self.piece_bytes = piece_bytes
        """How many bytes the conversation is fed at once; 0 for all that came."""
        self.written: list[bytes] = []
        self.received = 0
        self.answers = self.damaged = 0
        """What its health is said to be."""
        self.heard: list[Event] = []
        if found:
            self._leave(found)
        self.conversation = self._begin()
        self.until(lambda: self.conversation.phase is not Phase.WAKING)

    def _begin(self) -> Conversation:
        stop = self.grammar.single("stop") if self.grammar.can("stop") else None
        return Conversation(
            self.description.manner,
            speed=self.speed,
            now=self.now,
            told=self.told,
            look=LastLook(self.grammar.hazards.classify, lambda: self.epoch),
            dead_hand=DeadHand(stop),
        )

    def _leave(self, typed: bytes) -> None:
        """Somebody typed this some seconds after power-up, and left the board so."""
        self.line.to_board(typed, 5 * US)
        self.now_us = 9 * US
        self.line.from_board(self.now_us)

    @property
    def now(self) -> Seconds:
        return Seconds(self.now_us / US)

    def ask(
        self, commands: Sequence[Command], progress: Progress | None = None
    ) -> tuple[Answer, ...]:
        tickets = [self.conversation.submit(Lane.BULK, c) for c in commands]
        answers: dict[int, Answer] = {}
        before = self.received

        def all_answered() -> bool:
            for event in self.heard:
                if isinstance(event, Answered):
                    answers[event.ticket] = event.answer
            self.heard.clear()
            if progress:
                progress(self.received - before, len(answers))
            return all(ticket in answers for ticket in tickets)

        self.until(all_answered)
        return tuple(answers[ticket] for ticket in tickets)

    def restart(
        self,
        command: Command,
        back_within: Seconds,
        waiting: Callable[[Seconds], None] | None = None,
    ) -> Answer:
        (answer,) = self.ask([command])
        self.epoch += 1
        limit_us = self.now_us + int(back_within * US)

        def over() -> bool:
            if waiting:
                waiting(Seconds((limit_us - self.now_us) / US))
            awake = self.conversation.phase is not Phase.WAKING
            return awake or self.now_us > limit_us

        self.until(over)
        return answer

    def come_back(
        self,
        within: Seconds,
        waiting: Callable[[Seconds], None] | None = None,
        ours: Callable[[], None] | None = None,
    ) -> None:
        """Open the same board again."""
        if waiting:
            waiting(within)
        self.epoch += 1
        self.line.from_board(self.now_us)
        self.conversation = self._begin()
        self.until(lambda: self.conversation.phase is not Phase.WAKING)
        if ours:
            ours()

    def restart_by_hand(self) -> None:
        """Somebody pulls the power and plugs it in again."""
        self.line.from_board(self.now_us)
        self.device.power_up(self.now_us)
        self.come_back(Seconds(10.0))

    def live(self, slot: str, command: Command) -> None:
        self.conversation.submit(Lane.LIVE, command, slot=slot)

    def stop(self, command: Command) -> None:
        self.conversation.submit(Lane.STOP, command)
        before = len(self.written)
        self.until(lambda: len(self.written) > before)

    def health(self) -> LinkHealth:
        return LinkHealth(
            sent_bytes=sum(map(len, self.written)),
            received_bytes=self.received,
            answers=self.answers,
            damaged=self.damaged,
        )

    def until(self, met: Callable[[], bool], steps: int = 2_000_000) -> None:
        for _ in range(steps):
            self._step()
            if met():
                return
            self._pass_time()
        pytest.fail(f"never happened by {self.now}")

    def become_ready(self) -> None:
        self.until(lambda: self.conversation.phase is Phase.READY)

    def _step(self) -> None:
        data = self.line.from_board(self.now_us)
        if data:
            data = self.damage(data)
            self.received += len(data)
            piece = self.piece_bytes or max(len(data), 1)
            for at in range(0, len(data), piece):
                self.conversation.feed(data[at : at + piece], self.now)
        self.conversation.tick(self.now)
        while out := self.conversation.outgoing(self.now):
            self.written.append(out)
            self.line.to_board(out, self.now_us)
        for event in self.conversation.events():
            if isinstance(event, Silent):
                msg = f"heard {event.heard!r}"
                raise SilentBoardError(msg)
            if isinstance(event, StartedByItself):
                self.epoch += 1
            if not isinstance(event, BecameReady):
                self.heard.append(event)

    def idle(self, for_s: float) -> None:
        """Let time pass while nobody says anything."""
        until_us = self.now_us + int(for_s * US)
        self._step()
        while (due_us := self._due_us()) is not None and due_us < until_us:
            self.now_us = max(self.now_us + 1, due_us)
            self._step()
        self.now_us = until_us
        self._step()

    def _due_us(self) -> int | None:
        deadline = self.conversation.deadline(self.now)
        due = [] if deadline is None else [int(deadline * US) + 1]
        next_us = self.line.next_us(self.now_us)
        if next_us is not None:
            due.append(next_us)
        return min(due, default=None)

    def _pass_time(self) -> None:
        due_us = self._due_us()
        if due_us is None:
            pytest.fail("nothing will ever happen")
        self.now_us = max(self.now_us + 1, due_us)

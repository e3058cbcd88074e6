"""A board on a cable that can come out, in virtual time: what the link does, threadless.

Implements the `Board` door with the real ledger, tally and conversation, in the order of
the link thread's turn. A cable that is out ends the wire as a vanished port does; a
process that was killed does nothing more.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final, Protocol, final

from benchlink.console.conversation import Conversation
from benchlink.console.description import Description
from benchlink.console.hazards import Classifier
from benchlink.console.last_look import LastLook
from benchlink.console.phases import Phase
from benchlink.core.doors import LinkHealth, Progress
from benchlink.core.exchange import Answer, Command, Verdict
from benchlink.errors import BenchError, BoardError, LinkError, PortLostError
from benchlink.link.asking import Asking
from benchlink.link.inbox import Wanted
from benchlink.link.ledger import Ledger
from benchlink.link.pump import again
from benchlink.link.silence import silent_board
from benchlink.link.tally import Tally
from benchlink.units import Baud, Seconds
from mocks.device import Device
from mocks.options import Options
from mocks.store import MemoryStore
from mocks.uart import Line

US: Final = 1_000_000
LOOK_EVERY_US: Final = US // 10
"""How often whoever waits for answers is told how far it has come."""
LOOK_AGAIN_US: Final = US // 4
"""Pause between two looks for a port that went away."""
SPARE: Final = Seconds(1.0)
"""The link waits so much longer for a prompt than the conversation does."""
MOST_TURNS: Final = 400_000
"""More than any session takes; then something waits for ever."""


class StuckError(Exception):
    """The conversation waits for something that will never come."""


class KilledError(BaseException):
    """The process is gone: nothing of ours runs any more."""


@final
class Desk:
    """The aircraft, the cable and the time: what is there while processes come and go."""

    def __init__(self, options: Options) -> None:
        self.options: Final = options
        self.store: Final = MemoryStore()
        self.device = Device(options, self.store)
        self.device.aircraft.keep()
        self.line = Line(self.device, options)
        self.now_us = 0

    def power_cycle(self) -> None:
        """Off and on again."""
        self.line.from_board(self.now_us)
        self.device.power_up(self.now_us)

    def plug_in(self, *, same_path: bool = False) -> None:
        """Somebody puts the cable in again."""
        if not self.line.plugged:
            line = self.line
            line.put_in(self.now_us, *([line.path] if same_path else []))

    def exchange(self, device: Device) -> None:
        """Another board, freshly powered, hangs on the cable."""
        self.line.from_board(self.now_us)
        pulls = self.line.pulls
        self.device, self.line = device, Line(device, self.options)
        self.line.pulls = pulls + 1
        device.power_up(self.now_us)


class Hand(Protocol):
    """Whoever stands at the bench while the tool waits for a board."""

    def __call__(self, desk: Desk) -> None:
        """Put the cable in again, or not."""
        ...


@dataclass(slots=True, kw_only=True)
class Blows:
    """What ends a process in the middle of its talk."""

    at_sent: dict[int, type[BaseException]] = field(default_factory=dict)
    """Raised once so many bytes have been sent."""
    killed: bool = False


@dataclass(frozen=True, slots=True)
class _Port:
    url: str = "virtual"


@dataclass(frozen=True, slots=True)
class _Wire:
    speed: Baud | None
    device: _Port = _Port()


@final
class CableBoard:
    """One process's side of it."""

    def __init__(
        self,
        desk: Desk,
        description: Description,
        *,
        told: Mapping[str, str],
        blows: Blows | None = None,
        hand: Hand = lambda _: None,
        at_turn: Callable[[], None] = lambda: None,
    ) -> None:
        """Open it.

        Raises:
            LinkError: no prompt comes.
        """
        self.desk: Final = desk
        self.epoch = 1
        self.port = "virtual"
        self.speed = Baud(desk.options.baud) if desk.options.baud else None
        self.blows: Final = blows or Blows()
        self.sent_lines: Final[list[bytes]] = []
        self._description: Final = description
        self._classify: Final = Classifier(description).classify
        self._told: Final = told
        self._hand: Final = hand
        self._at_turn: Final = at_turn
        self._tally: Final = Tally()
        self._talk, self._ledger = self._begin()
        manner = description.manner
        self._wait_ready(self._after(Seconds(manner.patience + SPARE)))

    @property
    def now(self) -> Seconds:
        """The time."""
        return Seconds(self.desk.now_us / US)

    def health(self) -> LinkHealth:
        """What all its wires have carried."""
        return self._tally.health()

    def stop(self, command: Command) -> None:
        """Nothing moves in a campaign about settings."""
        raise NotImplementedError

    def live(self, slot: str, command: Command) -> None:
        """Nothing moves in a campaign about settings."""
        raise NotImplementedError

    def ask(
        self, commands: Sequence[Command], progress: Progress | None = None
    ) -> tuple[Answer, ...]:
        """One answer to each."""
        self._require_alive()
        if self._trouble:
            raise again(self._trouble)
        asking = Asking(commands)
        self._ledger.take(Wanted(stops=(), live=(), askings=(asking,)))
        before, looked_us = self._tally.received, self.desk.now_us

        def over() -> bool:
            nonlocal looked_us
            late = self.desk.now_us >= looked_us + LOOK_EVERY_US
            if progress and (late or asking.over):
                looked_us = self.desk.now_us
                progress(self._tally.received - before, asking.answered)
            return asking.over

        try:
            self._settle()
            self._until(over)
        finally:
            asking.abandoned = True
        if asking.trouble:
            raise again(asking.trouble)
        return asking.answers()

    def restart(
        self,
        command: Command,
        back_within: Seconds,
        waiting: Callable[[Seconds], None] | None = None,
    ) -> Answer:
        """Restart, and wait until it is back."""
        try:
            (answer,) = self.ask([replace(command, alone=True, restarts=True)])
        except PortLostError:
            answer = Answer(
                command=command, verdict=Verdict.UNANSWERED, remark="the port went away"
            )
        if answer.verdict is not Verdict.REFUSED:
            self.epoch += 1
            until_us = self._after(back_within)
            if waiting:
                waiting(back_within)
            try:
                self._wait_ready(until_us)
            except PortLostError:
                self._follow(until_us, waiting)
        return answer

    def come_back(
        self,
        within: Seconds,
        waiting: Callable[[Seconds], None] | None = None,
        ours: Callable[[], None] | None = None,
    ) -> None:
        """Wait for the cable."""
        self._require_alive()
        self.epoch += 1
        self._follow(self._after(within), waiting, ours)

    def _follow(
        self,
        until_us: int,
        waiting: Callable[[Seconds], None] | None,
        ours: Callable[[], None] | None = None,
    ) -> None:
        why: BenchError = LinkError("virtual did not come back")
        desk = self.desk
        while desk.now_us < until_us:
            if waiting:
                waiting(Seconds((until_us - desk.now_us) / US))
            self._hand(desk)
            desk.line.from_board(desk.now_us)
            if desk.line.plugged:
                try:
                    self._talk, self._ledger = self._begin()
                    self._wait_ready(until_us)
                    if ours:
                        ours()
                except (LinkError, BoardError) as trouble:
                    why = trouble
                else:
                    return
            desk.now_us += LOOK_AGAIN_US
        if isinstance(why, BoardError):
            raise why
        msg = f"the board that was at virtual did not come back in time: {why}"
        raise type(why)(msg, hint="Plug it in again and connect.") from why

    def _begin(self) -> tuple[Conversation, Ledger]:
        self.desk.line.from_board(self.desk.now_us)
        self._pulls = self.desk.line.pulls
        self._trouble: BenchError | None = None
        talk = Conversation(
            self._description.manner,
            speed=self.speed,
            now=self.now,
            told=self._told,
            look=LastLook(self._classify, lambda: self.epoch),
        )
        return talk, Ledger(talk, _Wire(self.speed), self._tally)  # type: ignore[arg-type]

    def _wait_ready(self, until_us: int) -> None:
        self._until(
            lambda: (
                self._ledger.phase in {Phase.READY, Phase.FAILED}
                or self._trouble is not None
                or self.desk.now_us >= until_us
            )
        )
        if self._trouble:
            raise again(self._trouble)
        if self._ledger.phase is not Phase.READY:
            raise silent_board(
                self.port, self.speed, self._ledger.heard, self._ledger.logins
            )

    def _after(self, seconds: Seconds) -> int:
        return self.desk.now_us + int(seconds * US)

    def _require_alive(self) -> None:
        if self.blows.killed:
            raise KilledError

    def _until(self, met: Callable[[], bool]) -> None:
        for _ in range(MOST_TURNS):
            self._turn()
            if met():
                return
            self._pass_time()
        msg = f"still waiting at {self.now:.0f} s"
        raise StuckError(msg)

    def _turn(self) -> None:
        desk, talk = self.desk, self._talk
        if self._trouble:
            return
        self._at_turn()
        data = desk.line.from_board(desk.now_us)
        if data:
            self._tally.received += len(data)
            self._ledger.overhear(data)
            talk.feed(data, self.now)
        if desk.line.pulls != self._pulls or not desk.line.plugged:
            self._trouble = PortLostError("the port virtual went away")
            self._ledger.fail(self._trouble)
            talk.lost()
            self._ledger.settle(talk.events())
            return
        talk.tick(self.now)
        self._settle()
        while out := talk.outgoing(self.now):
            self._send(out)
        self._settle()

    def _send(self, data: bytes) -> None:
        """Blows fall between two bytes: what was sent before is with the system."""
        done = 0
        for at in sorted(self.blows.at_sent):
            if self._tally.sent < at <= self._tally.sent + len(data):
                done = at - self._tally.sent
                blow = self.blows.at_sent.pop(at)
                kills = issubclass(blow, KilledError)
                self.blows.killed = self.blows.killed or kills
                self._put(data[:done] if kills else data)
                raise blow
        self._put(data)

    def _put(self, data: bytes) -> None:
        self._tally.sent += len(data)
        self.sent_lines.append(data)
        self.desk.line.to_board(data, self.desk.now_us)

    def _settle(self) -> None:
        while True:
            events = self._talk.events()
            self._ledger.settle(events)
            if not self._ledger.refill() and not events:
                return

    def _pass_time(self) -> None:
        desk = self.desk
        due = [desk.now_us + LOOK_EVERY_US]
        deadline = self._talk.deadline(self.now)
        if deadline is not None:
            due.append(int(deadline * US) + 1)
        next_us = desk.line.next_us(desk.now_us)
        if next_us is not None:
            due.append(next_us)
        desk.now_us = max(desk.now_us + 1, min(due))

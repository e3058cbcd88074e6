"""One board behind a pump, found again when a restart moves it to another port."""

import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Final, Self, final

from benchlink.console.conversation import Conversation
from benchlink.console.dead_hand import DeadHand
from benchlink.console.description import Manner
from benchlink.console.grammar import Grammar
from benchlink.console.last_look import Epoch, LastLook, unknown
from benchlink.console.waking import longest_opening
from benchlink.core.cautions import CUT_THE_POWER
from benchlink.core.doors import LinkHealth, Progress
from benchlink.core.exchange import Answer, Command, Verdict
from benchlink.errors import (
    BenchError,
    BoardError,
    LinkError,
    NoPortError,
    PortLostError,
    SilentBoardError,
)
from benchlink.link.clock import Clock
from benchlink.link.ports import PortIdentity, Scan, find_again, identify, system_ports
from benchlink.link.pump import Pump
from benchlink.link.silence import silent_board
from benchlink.link.talk import Begin, Talk
from benchlink.link.tally import Tally
from benchlink.link.wire import Wire, open_wire
from benchlink.units import Baud, Seconds

LOOK_AGAIN_EVERY: Final = Seconds(0.1)
"""Between two looks for a board that changed its port."""

ASK_AGAIN_EVERY: Final = Seconds(2.0)
"""Between two questions to another board that stands where ours was."""

SPARE: Final = Seconds(1.0)
"""Beyond the conversation's own patience, which should end first."""

STOP_SPARE: Final = Seconds(0.5)
"""Beyond the time that the answer to a stop has; it is sent again all the while."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """How to get to a board, and back to it."""

    begin: Begin
    speed: Baud
    clock: Clock
    patience: Seconds
    """How long its first prompt may take."""
    simulated_folder: Path | None = None
    scan: Scan = system_ports
    open_wire: Callable[[str, Baud, PortIdentity], Wire] = open_wire
    restarted: Callable[[int], None] = lambda _: None
    """Told the new epoch after a restart; on the asking thread."""
    talking: Callable[[], None] = lambda: None
    """Told when a board goes on printing and is waited for; on the asking thread."""


@final
class LinkBoard:
    """An open board; one thread asks, any thread sends live lines and stops."""

    def __init__(self, route: Route, device: PortIdentity) -> None:
        self._route: Final = route
        self._tally: Final = Tally()
        self._device = device
        self._pause: Final = threading.Event()
        self._begun = 1
        self._wire_speed: Baud | None = None
        self._pump = self._new_pump(device)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @property
    def epoch(self) -> int:
        """Rises at every restart and reconnection, asked for or not."""
        return self._begun + self._tally.reboots

    @property
    def port(self) -> str:
        """Where it is now."""
        return self._device.url

    @property
    def device(self) -> PortIdentity:
        """What makes it the same port elsewhere."""
        return self._device

    @property
    def speed(self) -> Baud | None:
        """What paces the wire; None on a pty or a plain socket."""
        return self._wire_speed

    def ask(
        self, commands: Sequence[Command], progress: Progress | None = None
    ) -> tuple[Answer, ...]:
        """One answer to each command, in their order."""
        return self._pump.ask(commands, progress)

    def live(self, slot: str, command: Command) -> None:
        """The newest line of a slot; an unsent older one is dropped."""
        self._pump.live(slot, command)

    def stop(self, command: Command) -> None:
        """Past everything, in every state.

        Raises:
            LinkError: its bytes did not leave, or the board did not take it in time.
        """
        stopping = self._pump.stop(command)
        if not stopping.left:
            msg = f"NOT stopped: {self.port} takes no bytes"
            raise LinkError(msg, hint=CUT_THE_POWER)
        if not stopping.taken(Seconds(command.answer_within + STOP_SPARE)):
            raise LinkError(_not_taken(command, stopping.answer), hint=CUT_THE_POWER)

    def health(self) -> LinkHealth:
        """What the connection has carried, over all its wires."""
        return self._tally.health()

    def overheard(self) -> bytes:
        """What the board said since the last look, byte for byte; for any thread."""
        return self._tally.overheard()

    def close(self) -> None:
        """Let go of the port."""
        self._pump.close()

    def wait_ready(
        self, within: Seconds, waiting: Callable[[Seconds], None] | None = None
    ) -> None:
        """Wait for the prompt; `waiting` hears the seconds left.

        Raises:
            SilentBoardError: it does not come.
            PortLostError: the port went away.
        """
        if not self._pump.wait_ready(within, self._route.talking, waiting):
            pump = self._pump
            raise silent_board(self.port, self._wire_speed, pump.heard, pump.logins)

    def restart(
        self,
        command: Command,
        back_within: Seconds,
        waiting: Callable[[Seconds], None] | None = None,
    ) -> Answer:
        """Restart the board and wait until it answers, on whatever port.

        A port that goes away before the answer leaves the answer UNANSWERED, even when
        the board comes back: a pulled cable looks the same.
        """
        unheard = Seconds(0.0)
        try:
            (answer,) = self._pump.ask([replace(command, alone=True, restarts=True)])
            if not answer.trusted:
                # Nothing is sent to it before the time for coming back is over.
                unheard = self._route.patience
        except PortLostError:
            answer = Answer(
                command=command,
                verdict=Verdict.UNANSWERED,
                remark="the port went away before the answer",
            )
        if answer.verdict is not Verdict.REFUSED:
            self._begun += 1
            self._route.restarted(self.epoch)
            until = Seconds(self._route.clock() + back_within)
            self._wait_until_back(until, unheard, waiting)
        return answer

    def come_back(
        self,
        within: Seconds,
        waiting: Callable[[Seconds], None] | None = None,
        ours: Callable[[], None] | None = None,
    ) -> None:
        """Let go of the port, and find the board again on whatever port.

        `ours` asks who is there. Another board is let go of, and looked at again later:
        somebody may swap the cables back.

        Raises:
            LinkError: it did not come back in time.
            BoardError: another board was there until the end.
        """
        self._pump.close()
        self._begun += 1
        self._follow(Seconds(self._route.clock() + within), waiting, ours)

    def _wait_until_back(
        self,
        until: Seconds,
        unheard: Seconds,
        waiting: Callable[[Seconds], None] | None,
    ) -> None:
        try:
            self.wait_ready(Seconds(self._left(until) + unheard), waiting)
        except PortLostError:
            self._pump.close()
            self._follow(until, waiting)

    def _follow(
        self,
        until: Seconds,
        waiting: Callable[[Seconds], None] | None = None,
        ours: Callable[[], None] | None = None,
    ) -> None:
        url = self.port
        why: BenchError = LinkError(f"{url} did not come back")
        while self._left(until) > 0:
            if waiting:
                waiting(self._left(until))
            try:
                self._reconnect(until, waiting, ours)
            except LinkError as trouble:
                cut_short = isinstance(trouble, SilentBoardError)
                if not (cut_short and isinstance(why, BoardError)):
                    why = trouble
                self._pause.wait(min(LOOK_AGAIN_EVERY, self._left(until)))
            except BoardError as other:
                why = other
                self._rest(ASK_AGAIN_EVERY, until, waiting)
            else:
                return
        if isinstance(why, BoardError):
            raise why
        msg = f"the board that was at {url} did not come back in time: {why}"
        hint = "Plug it in again and connect; read it before believing anything."
        raise type(why)(msg, hint=why.hint or hint) from why

    def _rest(
        self,
        for_s: Seconds,
        until: Seconds,
        waiting: Callable[[Seconds], None] | None,
    ) -> None:
        """Let time pass; whoever waits hears of it."""
        over = min(until, Seconds(self._route.clock() + for_s))
        while (left := self._left(over)) > 0:
            if waiting:
                waiting(self._left(until))
            self._pause.wait(min(LOOK_AGAIN_EVERY, left))

    def _reconnect(
        self,
        until: Seconds,
        waiting: Callable[[Seconds], None] | None,
        ours: Callable[[], None] | None,
    ) -> None:
        device = self._whereabouts()
        self._pump = self._new_pump(device)
        self._device = device
        try:
            self.wait_ready(self._left(until), waiting)
            if ours:
                ours()
        except BaseException:
            self._pump.close()
            raise

    def _whereabouts(self) -> PortIdentity:
        route, device = self._route, self._device
        found = find_again(device, route.simulated_folder, scan=route.scan)
        if len(found) > 1:
            names = ", ".join(port.url for port in found)
            msg = f"more than one port could be the board: {names}"
            raise NoPortError(msg, hint="Unplug the others, then connect again.")
        if found:
            return found[0]
        if device.usb or device.serial:  # its old path may lead to another board now
            msg = f"no port has the identity of {device.url}"
            raise NoPortError(msg)
        return device

    def _new_pump(self, device: PortIdentity) -> Pump:
        route = self._route
        wire = route.open_wire(device.url, route.speed, device)
        self._wire_speed = wire.speed
        talk = route.begin(wire.speed, route.clock(), lambda: self.epoch)
        return Pump(wire, talk, route.clock, self._tally)

    def _left(self, until: Seconds) -> Seconds:
        return Seconds(max(0.0, until - self._route.clock()))


def open_board(
    url: str,
    manner: Manner,
    *,
    speed: Baud,
    clock: Clock,
    simulated_folder: Path | None,
    told: Mapping[str, str] | None = None,
) -> LinkBoard:
    """Open a port and wait for the board's prompt.

    `told` is what the person answered to what the console asks for: a name, a secret.

    Raises:
        LinkError: the port does not open, or no prompt comes; says what was heard.
    """
    route = route_by(manner, told or {}, speed=speed, clock=clock)
    route = replace(route, simulated_folder=simulated_folder)
    return connect(route, identify(url, simulated_folder))


def route_by(
    manner: Manner,
    told: Mapping[str, str],
    *,
    speed: Baud,
    clock: Clock,
    grammar: Grammar | None = None,
) -> Route:
    """A route to a board whose console is known; any part of it can be replaced.

    Without a `grammar` nobody knows what its lines may do, so that nothing is moved.
    """
    return Route(
        begin=partial(_begin, manner, told, grammar),
        speed=speed,
        clock=clock,
        patience=Seconds(longest_opening(manner) + SPARE),
    )


def connect(route: Route, device: PortIdentity) -> LinkBoard:
    """Open a board by a route made elsewhere, and wait for its prompt."""
    board = LinkBoard(route, device)
    try:
        board.wait_ready(route.patience)
    except BaseException:
        board.close()
        raise
    return board


def _not_taken(command: Command, answer: Answer | None) -> str:
    """That a stop left and nothing shows that it was carried out."""
    left = f"NOT stopped, as far as can be told: `{command.line}` left"
    if answer is None:
        return f"{left} and was not answered in time"
    said = answer.remark or "no reason given"
    return f"{left}, and then: {answer.verdict.value} ({said})"


def _begin(
    manner: Manner,
    told: Mapping[str, str],
    grammar: Grammar | None,
    speed: Baud | None,
    now: Seconds,
    epoch: Epoch,
) -> Talk:
    classify = grammar.hazards.classify if grammar else unknown
    stop = grammar.single("stop") if grammar and grammar.can("stop") else None
    return Conversation(
        manner,
        speed=speed,
        now=now,
        told=told,
        look=LastLook(classify, epoch),
        dead_hand=DeadHand(stop),
    )

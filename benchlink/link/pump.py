"""The callers' side of the link thread: ask, live, stop, wait, close."""

import threading
from collections.abc import Callable, Sequence
from typing import Final, Self, final

from benchlink.console.phases import Phase
from benchlink.console.waking import LONGEST_TALK
from benchlink.core.doors import LinkHealth, Progress
from benchlink.core.exchange import Answer, Command
from benchlink.errors import BenchError, MisuseError, PortLostError
from benchlink.link.asking import Asking
from benchlink.link.clock import Clock
from benchlink.link.engine import Engine
from benchlink.link.inbox import Stopping
from benchlink.link.talk import Talk
from benchlink.link.tally import Tally
from benchlink.link.wire import Wire
from benchlink.units import Seconds

LOOK_EVERY: Final = Seconds(0.1)
"""A waiting caller looks up this often: for progress, and for an interrupt."""

STOP_WITHIN: Final = Seconds(0.25)
"""A stop that has not left by then is reported as not sent; it stays queued."""

JOIN_WITHIN: Final = Seconds(2.0)


@final
class Pump:
    """Owns the link thread, which owns the wire; starts it at once."""

    def __init__(
        self, wire: Wire, talk: Talk, clock: Clock, tally: Tally | None = None
    ) -> None:
        self._tally: Final = tally or Tally()
        self._clock: Final = clock
        self._engine: Final = Engine(wire, talk, clock, self._tally)
        self._asked: Final = threading.Lock()
        self._thread: Final = threading.Thread(
            target=self._engine.run, name="link", daemon=True
        )
        self._thread.start()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @property
    def phase(self) -> Phase:
        """Where the conversation stands."""
        return self._engine.ledger.phase

    @property
    def heard(self) -> bytes:
        """What a board without a prompt said."""
        return self._engine.ledger.heard

    @property
    def logins(self) -> int:
        """How often a login was answered to it, and did not open it."""
        return self._engine.ledger.logins

    @property
    def trouble(self) -> BenchError | None:
        """Why nothing can be asked any more, if so."""
        return self._engine.trouble

    def ask(
        self, commands: Sequence[Command], progress: Progress | None = None
    ) -> tuple[Answer, ...]:
        """Wait for one answer to each command.

        A caller who is interrupted takes along whatever was not handed over yet.

        Raises:
            LinkError: the port went away, or the board fell silent for good.
            MisuseError: another thread is asking, or a line cannot be sent.
        """
        if not self._asked.acquire(blocking=False):
            msg = "two callers ask the board at the same time"
            raise MisuseError(msg)
        asking = Asking(commands)
        try:
            self._wait_for(asking, progress)
        finally:
            asking.abandoned = True
            self._asked.release()
        if asking.trouble:
            raise again(asking.trouble)
        return asking.answers()

    def live(self, slot: str, command: Command) -> None:
        """The newest line of a slot, at once; an older one that waits is dropped."""
        self._engine.inbox.live(slot, command)
        self._engine.bell.ring()

    def stop(self, command: Command, within: Seconds = STOP_WITHIN) -> Stopping:
        """Send a stop past everything, and wait until its bytes left, or could not."""
        stopping = Stopping(command)
        if not isinstance(self.trouble, PortLostError):
            self._engine.inbox.stop(stopping)
            self._engine.bell.ring()
            stopping.gone.wait(within)
        return stopping

    def wait_ready(
        self,
        within: Seconds,
        talking: Callable[[], None] | None = None,
        waiting: Callable[[Seconds], None] | None = None,
    ) -> bool:
        """Wait for the prompt; False when it does not come.

        A board that goes on printing is waited for longer: `talking` is called then.
        `waiting` hears the seconds left, again and again; what it raises ends the wait.

        Raises:
            LinkError: the port went away.
        """
        ledger = self._engine.ledger
        until = self._clock() + within
        self._tell_while(lambda: self._waking_over or ledger.talking, until, waiting)
        if not self._waking_over and ledger.talking:
            if talking:
                talking()
            until = self._clock() + LONGEST_TALK + within
            self._tell_while(lambda: self._waking_over, until, waiting)
        if self.trouble:
            raise again(self.trouble)
        return self.phase is Phase.READY

    def health(self) -> LinkHealth:
        """What the connection has carried."""
        return self._tally.health()

    def close(self) -> None:
        """Send what is urgent, end the thread, close the wire."""
        self._engine.closing = True
        self._engine.bell.ring()
        self._thread.join(JOIN_WITHIN)
        if not self._thread.is_alive():
            self._engine.bell.close()

    @property
    def _waking_over(self) -> bool:
        return self.phase in {Phase.READY, Phase.FAILED} or self.trouble is not None

    def _wait_for(self, asking: Asking, progress: Progress | None) -> None:
        if self.trouble or not self._thread.is_alive():
            asking.fail(self.trouble or MisuseError("the link is closed"))
            return
        before = self._tally.received
        self._engine.inbox.ask(asking)
        self._engine.bell.ring()
        while not self._wait(lambda: asking.over, self._clock() + LOOK_EVERY):
            if progress:
                progress(self._tally.received - before, asking.answered)
            if not self._thread.is_alive():
                asking.fail(MisuseError("the link was closed while it was asked"))
        if progress:
            progress(self._tally.received - before, asking.answered)

    def _tell_while(
        self,
        done: Callable[[], bool],
        until: float,
        waiting: Callable[[Seconds], None] | None,
    ) -> None:
        """Wait in slices; outside of the lock somebody hears of it between them."""
        while (left := until - self._clock()) > 0:
            if waiting:
                waiting(Seconds(left))
            if self._wait(done, min(until, self._clock() + LOOK_EVERY)):
                return

    def _wait(self, done: Callable[[], bool], until: float) -> bool:
        news = self._engine.news
        with news:
            while not done():
                left = until - self._clock()
                if left <= 0:
                    return False
                news.wait(min(LOOK_EVERY, left))
        return True


def again(trouble: BenchError) -> BenchError:
    """The same trouble for one more caller, each with a traceback of its own."""
    fresh = type(trouble)(str(trouble), hint=trouble.hint, details=trouble.details)
    fresh.__cause__ = trouble
    return fresh

"""What other threads want from the link thread; urgent things overtake."""

import threading
from collections import deque
from dataclasses import dataclass
from typing import Final, final

from benchlink.core.exchange import ACTED, Answer, Command
from benchlink.link.asking import Asking
from benchlink.units import Seconds

REPEATS: Final = 3
"""How often a stop that the board did not take is sent again."""


@final
class Stopping:
    """One stop on its way out, until the board has taken it."""

    def __init__(self, command: Command) -> None:
        self.command: Final = command
        self.gone: Final = threading.Event()
        """Its bytes are with the operating system, or it was answered."""
        self.answer: Answer | None = None
        """The latest; None before the first."""
        self._over: Final = threading.Event()
        self._repeats = 0

    @property
    def left(self) -> bool:
        """Whether its bytes left."""
        return self.gone.is_set()

    def taken(self, within: Seconds) -> bool:
        """Wait until the board has taken it; False when it did not in time."""
        self._over.wait(within)
        answer = self.answer
        return answer is not None and answer.verdict in ACTED

    def answered(self, answer: Answer, *, lost: bool) -> bool:
        """Keep an answer; whether it has to be sent again. A `lost` wire takes nothing.

        For the link thread.
        """
        self.answer = answer
        if answer.trusted:
            self.gone.set()
        if answer.verdict in ACTED or lost or self._repeats == REPEATS:
            self._over.set()
            return False
        self._repeats += 1
        return True


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Everything that came in since the last look, most urgent first."""

    stops: tuple[Stopping, ...]
    live: tuple[tuple[str, Command], ...]
    askings: tuple[Asking, ...]


@final
class Inbox:
    """Any thread puts in, the link thread takes out."""

    def __init__(self) -> None:
        self._lock: Final = threading.Lock()
        self._stops: Final[deque[Stopping]] = deque()
        self._live: Final[dict[str, Command]] = {}
        self._askings: Final[deque[Asking]] = deque()

    def stop(self, stopping: Stopping) -> None:
        """Also throws away motions that had not left: none may follow a stop."""
        with self._lock:
            self._live.clear()
            for asking in self._askings:
                asking.stopped = True
            self._stops.append(stopping)

    def live(self, slot: str, command: Command) -> None:
        """The newest of a slot replaces an older one."""
        with self._lock:
            self._live[slot] = command

    def ask(self, asking: Asking) -> None:
        """In order."""
        with self._lock:
            self._askings.append(asking)

    def take(self) -> Wanted | None:
        """Empty it; None when there was nothing."""
        with self._lock:
            if not (self._stops or self._live or self._askings):
                return None
            wanted = Wanted(
                stops=tuple(self._stops),
                live=tuple(self._live.items()),
                askings=tuple(self._askings),
            )
            self._stops.clear()
            self._live.clear()
            self._askings.clear()
            return wanted

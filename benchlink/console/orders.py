"""What was ordered: a ticket for each command, and what is told of each in the end."""

from dataclasses import replace
from typing import Final, final

from benchlink.console.correlation import Settled
from benchlink.console.description import Manner
from benchlink.console.events import Answered, Event, Replaced
from benchlink.console.lanes import Lane, Lanes, Pending
from benchlink.core.exchange import Answer, Command, Verdict

OWN: Final = 0
"""The ticket of what the conversation asks for itself: a hello, a line of set-up."""

STOPPED_FIRST: Final = "stopped before it left"
"""What is told of a motion that still waited when a stop came."""


@final
class Orders:
    """Fills the lanes, and tells whoever asked; what is its own it tells nobody."""

    def __init__(self, manner: Manner, lanes: Lanes, events: list[Event]) -> None:
        self._manner: Final = manner
        self._lanes: Final = lanes
        self._events: Final = events
        self._tickets = 0

    def pending(self, lane: Lane, command: Command) -> Pending:
        """A command with a ticket of its own.

        Raises:
            MisuseError: the line holds a control character or is too long.
        """
        data = self._manner.bytes_of(command)
        self._tickets += 1
        return Pending(self._tickets, lane, command, data)

    def own(self, question: Command) -> Pending:
        """The same for what nobody ordered."""
        return replace(self.pending(Lane.BULK, question), ticket=OWN)

    def queue(self, pending: Pending, slot: str) -> None:
        """Let a command wait for its turn."""
        if pending.lane is Lane.STOP:
            # Nothing that moves may follow a stop just because it waited already.
            self.drop_passing()
            for dropped in self._lanes.drop_permitted():
                self.unanswered(dropped, STOPPED_FIRST)
        replaced = self._lanes.push(pending, slot)
        if replaced:
            self._events.append(Replaced(replaced.ticket))

    def drop_passing(self) -> None:
        """What is worth nothing later will never be sent."""
        for dropped in self._lanes.drop_passing():
            self._events.append(Replaced(dropped.ticket))

    def drop_all(self, why: str) -> None:
        """Nothing that waits will be sent, but stops."""
        for pending in self._lanes.drop_all():
            self.unanswered(pending, why)

    def unanswered(self, pending: Pending, why: str) -> None:
        """A command that was never sent."""
        answer = Answer(command=pending.command, verdict=Verdict.UNANSWERED, remark=why)
        self._events.append(Answered(pending.ticket, answer))

    def answered(self, one: Settled) -> None:
        """A command that was sent has its answer."""
        if one.pending.ticket != OWN:
            self._events.append(Answered(one.pending.ticket, one.answer))

"""Commands of one caller, and the answers they have so far."""

from collections.abc import Sequence
from typing import Final, final

from benchlink.console.orders import STOPPED_FIRST
from benchlink.core.exchange import Answer, Command, Verdict
from benchlink.errors import BenchError


@final
class Asking:
    """Filled by the link thread, waited for by the caller."""

    def __init__(self, commands: Sequence[Command]) -> None:
        self.commands: Final = tuple(commands)
        self._answers: Final[list[Answer | None]] = [None] * len(self.commands)
        self.submitted = 0
        self.answered = 0
        self.trouble: BenchError | None = None
        self.abandoned = False
        """The caller left: what was not submitted stays unsent."""
        self.stopped = False
        """A stop came: of what was not submitted, nothing that moves is sent."""

    @property
    def in_flight(self) -> int:
        """Submitted and not yet answered."""
        return self.submitted - self.answered

    @property
    def complete(self) -> bool:
        """Every command has its answer."""
        return self.answered == len(self.commands)

    @property
    def over(self) -> bool:
        """Nothing more will come."""
        return self.complete or self.trouble is not None

    def next_command(self) -> tuple[int, Command] | None:
        """The next to submit and its place; None when there is none, or no use."""
        while not (self.abandoned or self.over or self.submitted == len(self.commands)):
            place = self.submitted
            self.submitted += 1
            command = self.commands[place]
            if not self.stopped or command.permit is None:
                return place, command
            self.fill(place, _never_left(command))
        return None

    def fill(self, place: int, answer: Answer) -> None:
        """Put one answer in its place."""
        self._answers[place] = answer
        self.answered += 1

    def fail(self, trouble: BenchError) -> None:
        """End it, unless it is complete already."""
        if not self.complete:
            self.trouble = trouble

    def answers(self) -> tuple[Answer, ...]:
        """All of them, in the order of the commands; only when complete."""
        return tuple(answer for answer in self._answers if answer is not None)


def _never_left(command: Command) -> Answer:
    return Answer(command=command, verdict=Verdict.UNANSWERED, remark=STOPPED_FIRST)

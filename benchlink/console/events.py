"""What a conversation reports to whoever feeds it."""

from dataclasses import dataclass

from benchlink.core.exchange import Answer


@dataclass(frozen=True, slots=True)
class Answered:
    """A submitted command has its answer; `ticket` is what `submit` gave."""

    ticket: int
    answer: Answer


@dataclass(frozen=True, slots=True)
class Replaced:
    """A live or watch line that was never sent: outdated by a newer one or a doubt."""

    ticket: int


@dataclass(frozen=True, slots=True)
class BecameReady:
    """The prompt stands; commands leave from now on."""


@dataclass(frozen=True, slots=True)
class Heard:
    """The board said something unasked."""

    line: str


@dataclass(frozen=True, slots=True)
class Silent:
    """No prompt came for too long; `heard` is what came instead.

    What the person told the board does not stand in it.
    """

    heard: bytes
    logins: int = 0
    """How often the person's answers were sent, and did not open it."""


@dataclass(frozen=True, slots=True)
class StillTalking:
    """The patience is over, but the board goes on printing: it is waited for."""


@dataclass(frozen=True, slots=True)
class StartedByItself:
    """The board came up afresh, and nobody had told it to: a new epoch."""


Event = (
    Answered | Replaced | BecameReady | Heard | Silent | StillTalking | StartedByItself
)

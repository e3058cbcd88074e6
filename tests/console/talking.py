"""Someone to talk to: a clock, a conversation, and a board played by the test."""

from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path

from hypothesis import settings

from benchlink.console.conversation import Conversation
from benchlink.console.description import Description, Manner, Wake
from benchlink.console.events import Answered, BecameReady, Event, Silent
from benchlink.console.lanes import Lane
from benchlink.console.phases import Phase
from benchlink.console.schema import describe
from benchlink.console.template import template
from benchlink.core.exchange import Answer, Command
from benchlink.store.strict_yaml import load_bytes
from benchlink.units import Baud, Seconds

WADER = Path(__file__).parents[2] / "profiles" / "consoles" / "wader.yaml"
FEW = settings(max_examples=60, deadline=None, derandomize=True)
MANY = settings(max_examples=300, deadline=None, derandomize=True)

MANNER = Manner(
    prompt="@ ",
    ok=(template("done"),),
    noted=(template("note: {remark}"),),
    refused=(template("sorry: {remark}"),),
    wake=Wake.ABANDON,
    abandon=b"\x15",
    banner=(template("wader boot {count}"),),
    window_bytes=60,
)


@cache
def wader() -> Description:
    return describe(load_bytes(WADER.read_bytes(), "wader.yaml"))


def command(
    line: str, *, within: float = 1.0, alone: bool = False, restarts: bool = False
) -> Command:
    return Command(
        line=line, answer_within=Seconds(within), alone=alone, restarts=restarts
    )


def answer_to(line: str, *lines: str, status: str = "done") -> bytes:
    """What a board shows once it has a whole line, the prompt before it excepted."""
    return "".join(f"{text}\r\n" for text in (line, *lines, status)).encode() + b"@ "


class PlayedBoard:
    """Answers each line at once from a table; `harm` may spoil what it says."""

    def __init__(
        self,
        answers: Mapping[str, tuple[str, ...]],
        harm: Callable[[bytes], bytes] = bytes,
    ) -> None:
        self.answers = answers
        self.harm = harm
        self.typed = b""

    def take(self, data: bytes) -> bytes:
        said = b""
        for key in (data[i : i + 1] for i in range(len(data))):
            if key == b"\x15":
                self.typed, said = b"", said + b"\r\n@ "
            elif key == b"\r":
                line, self.typed = self.typed.decode(), b""
                said += answer_to(line, *self.answers[line])
            else:
                self.typed += key
        return self.harm(said) if said else b""


class Desk:
    """A conversation in virtual time; what it sends and reports is kept."""

    def __init__(self, manner: Manner = MANNER, *, speed: Baud | None = None) -> None:
        self.now = Seconds(100.0)
        self.talk = Conversation(manner, speed=speed, now=self.now)
        self.sent: list[bytes] = []
        self.sent_at: list[Seconds] = []
        self.events: list[Event] = []
        self.board: PlayedBoard | None = None
        self.turns = 0

    def turn(self) -> None:
        """What a pump does each time it wakes; it may then sleep until the deadline."""
        self.turns += 1
        self.talk.tick(self.now)
        while out := self.talk.outgoing(self.now):
            self.sent.append(out)
            self.sent_at.append(self.now)
            said = self.board.take(out) if self.board else b""
            if said:
                self.talk.feed(said, self.now)
        self.talk.tick(self.now)
        self.events += self.talk.events()
        deadline = self.talk.deadline(self.now)
        assert deadline is None or deadline > self.now, "the pump would spin"

    def stands(self, phase: Phase) -> bool:
        return self.talk.phase is phase

    def says(self, data: bytes) -> None:
        self.talk.feed(data, self.now)
        self.turn()

    def passes(self, seconds: float) -> None:
        """Sleep from deadline to deadline until so much time has passed."""
        end = Seconds(self.now + seconds)
        self.turn()
        while (deadline := self.talk.deadline(self.now)) is not None:
            if deadline > end:
                break
            self.now = deadline
            self.turn()
        self.now = end
        self.turn()

    def ready(self) -> "Desk":
        self.says(b"\r\n@ ")
        self.passes(0.03)
        assert self.took(BecameReady)
        for kept in (self.sent, self.sent_at, self.events):
            kept.clear()
        return self

    def submit(self, line: str, lane: Lane = Lane.BULK, slot: str = "") -> int:
        return self.order(command(line), lane, slot)

    def order(self, given: Command, lane: Lane = Lane.BULK, slot: str = "") -> int:
        ticket = self.talk.submit(lane, given, slot=slot)
        self.turn()
        return ticket

    def took(self, kind: type[Event]) -> bool:
        return any(isinstance(event, kind) for event in self.events)

    @property
    def silent(self) -> bool:
        return self.took(Silent)

    def answers(self) -> dict[int, Answer]:
        return {e.ticket: e.answer for e in self.events if isinstance(e, Answered)}

    def lines_sent(self) -> list[str]:
        """Command lines in the order they left; wake-up bytes are not lines."""
        return [out[:-1].decode() for out in self.sent if out.endswith(b"\r")]

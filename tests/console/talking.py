"""Someone to talk to: a clock, a conversation, and a board played by the test."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Protocol

from hypothesis import settings

from benchlink.console.conversation import Conversation
from benchlink.console.description import Description, Manner, Wake
from benchlink.console.events import Answered, BecameReady, Event, Silent
from benchlink.console.lanes import Lane
from benchlink.console.last_look import LastLook
from benchlink.console.listing import Listing
from benchlink.console.phases import Phase
from benchlink.console.schema import describe
from benchlink.console.template import template
from benchlink.core.document import Node
from benchlink.core.exchange import Answer, AnswerForm, Command
from benchlink.core.hazard import NO_HAZARD
from benchlink.core.settings import Snapshot
from benchlink.core.utterance import Reply, Utterance, require_done
from benchlink.errors import FileError
from benchlink.store.strict_yaml import load_bytes
from benchlink.units import Baud, Seconds

WADER = Path(__file__).parents[2] / "profiles" / "consoles" / "wader.yaml"
FEW = settings(max_examples=60, deadline=None, derandomize=True)
MANY = settings(max_examples=300, deadline=None, derandomize=True)

FORM = AnswerForm(
    ok=(template("done"),),
    noted=(template("note: {remark}"),),
    refused=(template("sorry: {remark}"),),
    again=(template("wait: {remark}"),),
)
MANNER = Manner(
    prompt=template("@ "),
    answer=FORM,
    wake=Wake.ABANDON,
    abandon=b"\x15",
    banner=(template("wader boot {count}"),),
    window_bytes=60,
)


@cache
def wader() -> Description:
    return describe(load_bytes(WADER.read_bytes(), "wader.yaml"))


SMALL = {
    "line": "{ends-with: LF}",
    "answer": '{prompt: "> ", ok: [fine]}',
    "settings": '[{list: {line: all}, forms: [{pair: "{name}={value}"}]}]',
    "verbs": '{write: {line: "put {name} {value}"}}',
}


def node(text: str, name: str = "gull.yaml") -> Node:
    return load_bytes(text.encode(), name)


def console(**parts: str) -> Description:
    """A small console; `parts` say what is different, underlines as hyphens."""
    told = {"benchlink-console": "1", "name": "gull", "title": "Gull"} | SMALL
    told |= {key.replace("_", "-"): text for key, text in parts.items()}
    return describe(node("".join(f"{key}: {text}\n" for key, text in told.items())))


def command(
    line: str,
    form: AnswerForm = FORM,
    *,
    within: float = 1.0,
    alone: bool = False,
    restarts: bool = False,
) -> Command:
    return Command(
        line=line,
        answer_within=Seconds(within),
        form=form,
        alone=alone,
        restarts=restarts,
    )


def pressed(key: str, form: AnswerForm = FORM) -> Command:
    """A key that answers a question, without a line end."""
    return replace(command(key, form), key=True)


def cut_up(data: bytes, *cuts: int) -> list[bytes]:
    """Data in pieces, cut at these places."""
    edges = [0, *sorted(min(cut, len(data)) for cut in cuts), len(data)]
    return [data[a:b] for a, b in pairwise(edges)]


def in_bytes(data: bytes) -> list[bytes]:
    return cut_up(data, *range(len(data)))


def answer_to(line: str, *lines: str, status: str = "done") -> bytes:
    """What a board shows once it has a whole line, the prompt before it excepted."""
    return "".join(f"{text}\r\n" for text in (line, *lines, status)).encode() + b"@ "


def replied(*answers: Answer) -> Reply:
    """Answers as the reply to one utterance."""
    said = Utterance(commands=tuple(answer.command for answer in answers))
    return Reply(utterance=said, answers=answers)


def listed(answer: Answer, description: Description | None = None) -> Snapshot:
    """One answer as the whole listing of a console."""
    described = description or wader()
    listing = Listing(described)
    listing.take(described.sources[0], require_done(replied(answer)))
    return listing.finish()


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


class Player(Protocol):
    """Plays the board: hears what is sent and says what it says at once."""

    def take(self, data: bytes) -> bytes: ...


class Desk:
    """A conversation in virtual time; what it sends and reports is kept."""

    def __init__(
        self,
        manner: Manner = MANNER,
        *,
        speed: Baud | None = None,
        told: Mapping[str, str] | None = None,
    ) -> None:
        self.now = Seconds(100.0)
        self.talk = Conversation(
            manner,
            speed=speed,
            now=self.now,
            told=told,
            look=LastLook(lambda _data, _typed: NO_HAZARD),
        )
        self.sent: list[bytes] = []
        self.sent_at: list[Seconds] = []
        self.events: list[Event] = []
        self.board: Player | None = None
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

    def hears(self, chunks: Iterable[bytes]) -> None:
        for chunk in chunks:
            self.says(chunk)

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

    def ready(self, shown: bytes = b"\r\n@ ") -> "Desk":
        self.says(shown)
        self.passes(0.03)
        assert self.took(BecameReady)
        return self.forgets()

    def forgets(self) -> "Desk":
        """From here on count anew what is sent and reported."""
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


def mistakes_of(**parts: str) -> str:
    """What is wrong with a small console, in one text."""
    try:
        console(**parts)
    except FileError as exc:
        return "\n".join(exc.details)
    return ""

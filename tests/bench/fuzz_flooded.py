"""One flood through terminal, framing, conversation and listing, as a process.

`python -m tests.bench.fuzz_flooded KIND BYTES MODE` prints seconds of the processor,
and the most memory that the process ever held.
"""

import json
import resource
import sys
from contextlib import suppress
from dataclasses import replace
from enum import Enum
from itertools import islice
from time import process_time
from typing import Final, final

from benchlink.console.conversation import Conversation
from benchlink.console.description import Description
from benchlink.console.events import Answered
from benchlink.console.grammar import Grammar
from benchlink.console.lanes import Lane
from benchlink.console.listing import Listing
from benchlink.console.phases import Phase
from benchlink.console.schema import describe
from benchlink.console.template import template
from benchlink.core.exchange import Command
from benchlink.core.utterance import Reply, Utterance
from benchlink.errors import BenchError
from benchlink.store.descriptions import find_console, node_of
from benchlink.units import Seconds
from tests.bench.fuzz_floods import chunks

A_BYTE: Final = Seconds(1e-6)
"""As fast as USB brings them: a long line comes before an answer counts as overdue."""
CHATTER: Final = template("log: {anything}")


class Mode(Enum):
    """What the conversation is about while the flood comes."""

    ASKED = "a listing is asked for"
    IDLE = "nothing is asked for"
    RESTARTING = "the board was told to restart"


@final
class Flooded:
    """A conversation and a clock; what is answered is read as a listing."""

    def __init__(self, mode: Mode) -> None:
        self._mode: Final = mode
        self._description: Final = _described()
        self._asks: Final = _asked(self._description, mode)
        self._now = Seconds(1.0)
        self._talk: Final = Conversation(
            self._description.manner, speed=None, now=self._now
        )
        self._due = False
        self.answers = 0
        self.take(b"\r\n@ ")
        self.rest()
        if mode is not Mode.IDLE:
            self._ask()

    def take(self, data: bytes) -> None:
        """Some bytes arrive, in the time that they take."""
        self._now = Seconds(self._now + len(data) * A_BYTE)
        self._talk.feed(data, self._now)
        self._turn()

    def rest(self) -> None:
        """Nothing comes for a while."""
        for _ in range(200):
            self._now = Seconds(self._now + 0.05)
            self._turn()

    def _turn(self) -> None:
        talk = self._talk
        talk.tick(self._now)
        while talk.outgoing(self._now):
            pass
        for event in talk.events():
            if isinstance(event, Answered):
                self._read(event)
        if self._due and talk.phase is Phase.READY and self._mode is Mode.ASKED:
            self._ask()

    def _ask(self) -> None:
        self._due = False
        self._talk.submit(Lane.BULK, self._asks)
        self._turn()
        self._talk.feed(self._asks.line.encode() + b"\r\n", self._now)
        if self._mode is Mode.RESTARTING:
            self._talk.feed(b"done\r\n@ ", self._now)

    def _read(self, event: Answered) -> None:
        self.answers += 1
        self._due = True
        said = Utterance(commands=(event.answer.command,))
        listing = Listing(self._description)
        with suppress(BenchError):
            reply = Reply(utterance=said, answers=(event.answer,))
            listing.take(self._description.sources[0], reply)
        listing.finish().fingerprint()


def _described() -> Description:
    _, path, data = find_console("wader")
    found = describe(node_of(data, path))
    return replace(found, manner=replace(found.manner, chatter=(CHATTER,)))


def _asked(description: Description, mode: Mode) -> Command:
    grammar = Grammar(description)
    if mode is Mode.RESTARTING:
        return grammar.utter("restart").commands[-1]
    return grammar.asks(description.sources[0])[0].commands[0]


def main(kind: str, length: str, mode: str) -> int:
    """Measure one flood."""
    flooded = Flooded(Mode[mode])
    started_s = process_time()
    for chunk in chunks(kind, int(length)):
        flooded.take(chunk)
    flooded.take(b"\r\ndone\r\n@ ")
    flooded.rest()
    took_s = process_time() - started_s
    kib = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    told = {"s": took_s, "mib": kib / 1024, "answers": flooded.answers}
    print(json.dumps(told))
    return 0


if __name__ == "__main__":
    sys.exit(main(*islice(sys.argv, 1, 4)))

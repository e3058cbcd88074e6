"""Mutated sessions replayed into a whole conversation, and what must hold."""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from itertools import cycle
from random import Random
from typing import Final
from unittest.mock import patch

from benchlink.console import terminal
from benchlink.console.description import Description
from benchlink.console.events import Answered, Replaced
from benchlink.console.framing import Framing
from benchlink.console.grammar import Grammar
from benchlink.console.lanes import Lane
from benchlink.console.listing import Listing
from benchlink.console.phases import Phase
from benchlink.console.template import Blanks
from benchlink.console.terminal import Line, Terminal
from benchlink.core.exchange import Answer
from benchlink.core.stray import shown
from benchlink.core.utterance import Reply, Utterance
from benchlink.errors import BenchError, MisuseError
from tests.bench.fuzz_noise import spoken
from tests.bench.fuzz_sessions import (
    Asks,
    Hushes,
    Loses,
    Passes,
    Says,
    Step,
    Subject,
)
from tests.bench.fuzz_states import STEPS, Census
from tests.console.talking import Desk

ENDED: Final = {Phase.READY, Phase.FAILED, Phase.LOST}
LONG_ENOUGH_S: Final = 90.0
TURNS_A_STEP: Final = 60
TURNS_A_SECOND: Final = 10
READ: Final = 6
"""Answers of one run that are read in every way."""
SHORT_LINE: Final = 300
"""What counts as an endless line here, so that they come often."""


class WrongError(Exception):
    """Something that must hold did not."""


def require(what: str, *, good: bool) -> None:
    """Insist."""
    if not good:
        raise WrongError(what)


def replay(
    chance: Random, subject: Subject, steps: Sequence[Step], census: Census
) -> None:
    """One run.

    Raises:
        WrongError: something that must hold did not.
    """
    said = [step.data for step in steps if isinstance(step, Says)]
    look_at_lines(chance, subject.description, said)
    desk = Desk(subject.description.manner, told=subject.told)
    tickets = list(_played(desk, steps, census))
    before, seconds = desk.turns, _seconds(steps) + LONG_ENOUGH_S
    desk.passes(LONG_ENOUGH_S)
    require("it ends in a state of rest", good=desk.talk.phase in ENDED)
    limit = TURNS_A_STEP * (len(steps) + 1) + TURNS_A_SECOND * seconds
    require(f"{before} + {desk.turns - before} turns", good=desk.turns < limit)
    ended = [e.ticket for e in desk.events if isinstance(e, Answered | Replaced)]
    require("every ticket ends once", good=sorted(ended) == sorted(tickets))
    answers = list(desk.answers().values())
    for answer in answers:
        census.answer(answer)
    for answer in chance.sample(answers, min(READ, len(answers))):
        read(subject.description, answer)


def _seconds(steps: Sequence[Step]) -> float:
    return sum(step.seconds for step in steps if isinstance(step, Passes))


def _played(desk: Desk, steps: Sequence[Step], census: Census) -> Iterator[int]:
    """Carry out the steps; gives the tickets."""
    for step in steps:
        lost = desk.stands(Phase.LOST)
        restart = isinstance(step, Asks) and step.command.restarts
        if lost and (restart or isinstance(step, Says)):
            continue  # a new wire needs a new conversation, and nothing restarts there
        census.note(STEPS, f"{desk.talk.phase.name} {type(step).__name__}")
        if isinstance(step, Asks):
            slot = "slot" if step.lane is Lane.LIVE else ""
            with suppress(MisuseError):  # spliced: too long a line for this one
                yield desk.talk.submit(step.lane, step.command, slot=slot)
            desk.turn()
        else:
            _happens(desk, step)


def _happens(desk: Desk, step: Says | Passes | Hushes | Loses) -> None:
    match step:
        case Says(data):
            desk.says(data)
        case Passes(seconds):
            desk.passes(seconds)
        case Hushes():
            desk.talk.hush()
        case Loses():
            desk.talk.lost()


def look_at_lines(
    chance: Random, description: Description, said: Sequence[bytes]
) -> None:
    """Terminal, framing and templates, on the same bytes cut in two ways."""
    cr_ends = description.manner.board_ends_with_cr
    longest = chance.choice((SHORT_LINE, terminal.LONGEST_LINE))
    with patch.object(terminal, "LONGEST_LINE", longest):
        whole, cut = Terminal(cr_ends=cr_ends), Terminal(cr_ends=cr_ends)
        lines = whole.feed(b"".join(said))
        again = [line for piece in said for line in cut.feed(piece)]
    require("any way of cutting gives the same lines", good=lines == again)
    require("and the same rest", good=whole.partial == cut.partial)
    text = [line.text for line in lines]
    require("nothing unprintable", good=all(shown(t).isprintable() for t in text))
    raw = b"".join(line.raw for line in lines)
    require("no byte more than was said", good=len(raw) <= sum(map(len, said)))
    _frame(description, [*lines, Line(cut.partial, cut.partial_raw)])


def _frame(description: Description, lines: Sequence[Line]) -> None:
    framing = Framing(description.manner)
    forms = tuple(spoken(description))
    for line, form in zip(lines, cycle(forms), strict=False):
        text = line.text
        framing.is_chatter(text)
        framing.is_pager(text)
        for rest in (framing.echo_of(text), framing.behind_prompts(text)):
            require("a rest is the end", good=rest is None or text.endswith(rest))
        if framing.is_prompt(text):
            require("a prompt is no echo", good=framing.echo_of(text) is not None)
        for one in (form, *forms[:3]):
            fields = one.match(text)
            if fields is not None and not any(isinstance(p, Blanks) for p in one.parts):
                require("reads as it writes", good=one.render(fields) == text)


def read(description: Description, answer: Answer) -> None:
    """An answer read in every way; whatever is wrong with it is a typed error."""
    grammar = Grammar(description)
    said = Utterance(commands=(answer.command,))
    reply = Reply(utterance=said, answers=(answer,))
    with suppress(BenchError):
        grammar.identity(reply)
    with suppress(BenchError):
        grammar.readiness(reply)
    for source in description.sources:
        listing = Listing(description)
        listing.take(source, reply)
        snapshot = listing.finish()
        snapshot.fingerprint()
        require("verbatim", good=snapshot.verbatim == answer.raw)
        for setting in list(snapshot.settings.values())[:READ]:
            with suppress(BenchError):
                grammar.value(setting, reply)
            grammar.unwritable(setting, setting.value, snapshot)

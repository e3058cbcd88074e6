"""Which states of a conversation were reached, counted from outside."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from functools import partial
from typing import Final, final
from unittest.mock import patch

from benchlink.console import conversation
from benchlink.console.correlation import Correlation, Settled
from benchlink.console.phases import TRANSITIONS, Input, Phase, step
from benchlink.console.receiving import Receiving
from benchlink.console.terminal import Line
from benchlink.core.exchange import Answer, Ending, Verdict

State = tuple[str, str]

MOVES: Final = "phase moves"
VERDICTS: Final = "verdicts"
ENDINGS: Final = "endings"
OUTCOMES: Final = "correlation"
DOUBTS: Final = "doubts"
STEPS: Final = "phase x step"
PAIRS: Final = "ending x verdict"

AT_ONCE: Final = "a prompt ends it at once"
SKIPPED: Final = "the board never echoed it"

DOUBTED: Final = (
    *("something stood under", "was drawn over", "the board echoed"),
    *("no block begins with", "it ended without a status"),
    *("it ended before all of it had come", "it ended without a word of success"),
    *(SKIPPED, "nothing came in time", "the board restarted"),
    *("the link was closed", Phase.FAILED.value, Phase.LOST.value),
)
"""Why an answer proves nothing, by a part of the remark."""

BY_LINE: Final = (
    *("an echo opens an answer", "an echo ends the one before"),
    *("an echo skips commands", "another's echo opens an answer"),
    *("a line ends it", "a status", "the reason behind a status", "a line of it"),
    *("belongs without being a line of it", "said unasked", "passed over"),
)
BY_REST: Final = (
    *("a question ends it", AT_ONCE, "a prompt that stands still"),
    *("quiet ends it", "the banner ends it", "all in flight given up"),
    *("drawn over", "the pager was answered"),
)


def every_state() -> dict[str, frozenset[str]]:
    """All that should be reached, by what it is a state of."""
    return {
        MOVES: frozenset(_move(*pair) for pair in TRANSITIONS),
        VERDICTS: frozenset(v.name for v in Verdict),
        ENDINGS: frozenset(e.name for e in Ending),
        OUTCOMES: frozenset((*BY_LINE, *BY_REST)),
        DOUBTS: frozenset(DOUBTED),
    }


@final
class Census:
    """Counts states, and remembers those of the run that is going on."""

    def __init__(self) -> None:
        self.counts: Final[Counter[State]] = Counter()
        self.of_run: Final[set[State]] = set()

    def note(self, group: str, name: str) -> None:
        """A state was reached."""
        self.counts[group, name] += 1
        self.of_run.add((group, name))

    def answer(self, answer: Answer) -> None:
        """An answer was handed over."""
        ends = answer.command.form.ends
        self.note(VERDICTS, answer.verdict.name)
        self.note(ENDINGS, ends.name)
        self.note(PAIRS, f"{ends.name} {answer.verdict.name}")
        if not answer.trusted:
            known = (why for why in DOUBTED if why in answer.remark)
            self.note(DOUBTS, next(known, answer.remark))

    def reached(self, group: str) -> int:
        """How many different states of a group."""
        return sum(of == group for of, _ in self.counts)

    def missing(self, group: str) -> list[str]:
        """The states of a group that were not reached."""
        names = sorted(every_state()[group])
        return [name for name in names if not self.counts[group, name]]


@contextmanager
def counted(census: Census) -> Iterator[None]:
    """Every conversation tells the census where it goes."""
    with ExitStack() as stack:
        stack.enter_context(patch.object(conversation, "step", _stepping(census)))
        for name, watching in _watching(census).items():
            stack.enter_context(patch.object(Correlation, name, watching))
        yield


def _move(phase: Phase, given: Input) -> str:
    return f"{phase.name} {given.name}"


def _stepping(census: Census) -> Callable[[Phase, Input], Phase]:
    def stepped(phase: Phase, given: Input) -> Phase:
        after = step(phase, given)
        census.note(MOVES, _move(phase, given))
        return after

    return stepped


def _watching(census: Census) -> Mapping[str, Callable[..., object]]:
    """Methods that do as before, and note what came of it."""
    settling = partial(_settling, census)
    return {
        "line": _taking(census),
        "unfinished": _looking(census),
        "fell_quiet": settling(Correlation.fell_quiet, "quiet ends it"),
        "restarted": settling(Correlation.restarted, "the banner ends it"),
        "give_up": settling(Correlation.give_up, "all in flight given up"),
        "paged": _paging(census),
        "drawn_over": _drawing(census),
    }


def _settling(
    census: Census, method: Callable[..., list[Settled]], name: str
) -> Callable[..., list[Settled]]:
    def watched(self: Correlation, *why: str) -> list[Settled]:
        settled = method(self, *why)
        if settled:
            census.note(OUTCOMES, name)
        return settled

    return watched


def _taking(census: Census) -> Callable[[Correlation, Line], list[Settled]]:
    take = Correlation.line

    def line(self: Correlation, line: Line) -> list[Settled]:
        before = _Before(self)
        settled = take(self, line)
        census.note(OUTCOMES, before.outcome(self, settled))
        return settled

    return line


def _looking(census: Census) -> Callable[..., list[Settled]]:
    look = Correlation.unfinished

    def unfinished(
        self: Correlation, partial: str, *, stands_still: bool
    ) -> list[Settled]:
        settled = look(self, partial, stands_still=stands_still)
        if settled:
            asked = settled[0].pending.command.form.ends is Ending.SHOWS
            by_prompt = "a prompt that stands still" if stands_still else AT_ONCE
            census.note(OUTCOMES, "a question ends it" if asked else by_prompt)
        return settled

    return unfinished


def _paging(census: Census) -> Callable[[Correlation], None]:
    paged = Correlation.paged

    def pager(self: Correlation) -> None:
        census.note(OUTCOMES, "the pager was answered")
        paged(self)

    return pager


def _drawing(census: Census) -> Callable[[Correlation, str], None]:
    drawn = Correlation.drawn_over

    def drawn_over(self: Correlation, under: str) -> None:
        opened = self.receiving
        doubt = opened.doubt if opened else ""
        drawn(self, under)
        if opened and opened.doubt != doubt:
            census.note(OUTCOMES, "drawn over")

    return drawn_over


@final
class _Before:
    """A correlation before it takes a line, and what the line did to it."""

    def __init__(self, correlation: Correlation) -> None:
        self._open: Final = correlation.receiving
        self._steps: Final = correlation.steps
        self._heard: Final = len(correlation.heard)
        opened = self._open
        self._status: Final = opened.status if opened else None
        self._lines: Final = len(opened.lines) if opened else 0

    def outcome(self, after: Correlation, settled: list[Settled]) -> str:
        """What the line turned out to be."""
        opened = after.receiving
        if any(one.answer.remark == SKIPPED for one in settled):
            return "an echo skips commands"
        if opened is not None and opened is not self._open:
            return self._opening(opened, settled)
        if settled:
            return "a line ends it"
        if len(after.heard) > self._heard:
            return "said unasked"
        return self._within(opened, taken=after.steps > self._steps)

    @staticmethod
    def _opening(opened: Receiving, settled: list[Settled]) -> str:
        if opened.doubt:
            return "another's echo opens an answer"
        return "an echo ends the one before" if settled else "an echo opens an answer"

    def _within(self, opened: Receiving | None, *, taken: bool) -> str:
        if not taken or opened is None:
            return "passed over"
        if opened.status != self._status:
            return "the reason behind a status" if self._status else "a status"
        longer = len(opened.lines) > self._lines
        return "a line of it" if longer else "belongs without being a line of it"

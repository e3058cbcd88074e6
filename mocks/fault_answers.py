"""Faults of answers: what the board says to one command."""

from abc import abstractmethod
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar, final

from .fault import Chance

if TYPE_CHECKING:
    from random import Random

    from .console import Said

_US_PER_MS = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerFault(Chance):
    """Spoils answers; `at` counts those that it can spoil. Echoes are none."""

    @abstractmethod
    def spoil(self, said: "Said", random: "Random", /) -> "Said | None":
        """The answer that is given instead; None: there is nothing to spoil."""


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class LateAnswer(AnswerFault):
    """The board does nothing for a while before it answers."""

    name: ClassVar[str] = "late answer"
    by_ms: int = 500

    def problem(self) -> str | None:
        """It must be late."""
        return "by_ms must be above 0" if self.by_ms <= 0 else Chance.problem(self)

    def spoil(self, said: "Said", _random: "Random", /) -> "Said":
        """The same later; an empty answer ends later too."""
        return replace(said, stall_us=said.stall_us + self.by_ms * _US_PER_MS)


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class MissingAnswer(AnswerFault):
    """The command is carried out, and nothing is said, no prompt either."""

    name: ClassVar[str] = "missing answer"

    def spoil(self, said: "Said", _random: "Random", /) -> "Said | None":
        """Silence."""
        return replace(said, data=b"") if said.data else None


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class DoubledAnswer(AnswerFault):
    """The whole answer is said twice."""

    name: ClassVar[str] = "doubled answer"

    def spoil(self, said: "Said", _random: "Random", /) -> "Said | None":
        """The same again."""
        return replace(said, data=said.data * 2) if said.data else None


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class ChatterInAnswer(AnswerFault):
    """A line that nobody asked for stands in the answer."""

    name: ClassVar[str] = "chatter in an answer"
    text: str = "radio waiting"
    inside: bool = False
    """In the middle of a line instead of between two."""

    def problem(self) -> str | None:
        """One line of plain text."""
        if not (self.text.isascii() and self.text.isprintable() and self.text):
            return "text must be one line of plain characters"
        return Chance.problem(self)

    def spoil(self, said: "Said", random: "Random", /) -> "Said | None":
        """The answer with one more line."""
        end = line_end(said.data)
        lines = said.data.split(end)
        least = 2 if self.inside else 1
        places = [at for at, line in enumerate(lines) if len(line) >= least]
        if not places:
            return None
        chosen = random.choice(places)
        within = random.randrange(1, len(lines[chosen])) if self.inside else 0
        at = sum(len(line) + len(end) for line in lines[:chosen]) + within
        unasked = self.text.encode("ascii") + end
        return replace(said, data=said.data[:at] + unasked + said.data[at:])


def line_end(data: bytes) -> bytes:
    """How lines end in this answer; CR LF where it has none."""
    known = (end for end in (b"\r\n", b"\n", b"\r") if end in data)
    return next(known, b"\r\n")


def oddly(data: bytes, words: str) -> bytes:
    """An answer whose lines are gone, with these words in their place.

    What stands behind the last line, a prompt, is still said.
    """
    end = line_end(data)
    prompt = data.rpartition(end)[2] if end in data else data
    return words.encode("ascii") + end + prompt

"""Faults of the store: what becomes of a keep."""

from abc import abstractmethod
from dataclasses import dataclass, replace
from typing import ClassVar, final

from .fault import Chance

_US_PER_MS = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Keep:
    """Values on their way into the store."""

    before: dict[str, str]
    """What the store holds."""
    values: dict[str, str]
    """What it will hold."""
    stall_us: int = 0
    """Time that it takes on top of the usual."""
    words: str | None = None
    """What is said."""
    says_ok: bool = True
    """The usual answer follows."""

    def cut(self, part: float) -> "Keep":
        """Only the first part of what changes gets into the store."""
        changes = [n for n, v in self.values.items() if self.before.get(n) != v]
        done = changes[: int(len(changes) * part)]
        return replace(
            self, values=self.before | {name: self.values[name] for name in done}
        )

    @property
    def changes(self) -> bool:
        """Whether anything new gets into the store."""
        return self.values != self.before


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepFault(Chance):
    """Spoils keeps; `at` counts those that it can spoil.

    A board that keeps each write at once has a keep in every write.
    """

    @abstractmethod
    def spoil(self, keep: Keep) -> Keep | None:
        """What happens instead; None: this one would go the same way."""


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class OddlyFailingKeep(KeepFault):
    """Nothing is kept, and this is said in words that nobody expects."""

    name: ClassVar[str] = "keep fails oddly"
    words: str = "sector 3 sleepy"
    says_ok: bool = False
    """The usual answer follows all the same."""

    def problem(self) -> str | None:
        """One line of plain text."""
        if not (self.words.isascii() and self.words.isprintable() and self.words):
            return "words must be one line of plain characters"
        return Chance.problem(self)

    def spoil(self, keep: Keep) -> Keep:
        """Keep nothing, say so."""
        return replace(keep, values=keep.before, words=self.words, says_ok=self.says_ok)


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class KeepOfAPart(KeepFault):
    """Only a part of the changes is kept; the answer is as usual."""

    name: ClassVar[str] = "keep of a part"
    part: float = 0.5
    """Rounded down to whole settings."""

    def problem(self) -> str | None:
        """A part of a whole."""
        whole = "part must be 0 up to below 1"
        return Chance.problem(self) if 0 <= self.part < 1 else whole

    def spoil(self, keep: Keep) -> Keep | None:
        """Keep the first settings that changed."""
        return keep.cut(self.part) if keep.changes else None


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class KeepOfNothing(KeepFault):
    """Nothing is kept; the answer is as usual."""

    name: ClassVar[str] = "keep of nothing"

    def spoil(self, keep: Keep) -> Keep | None:
        """Keep what was kept."""
        return replace(keep, values=keep.before) if keep.changes else None


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class SlowKeep(KeepFault):
    """The keep takes longer, and the board does nothing else meanwhile."""

    name: ClassVar[str] = "slow keep"
    by_ms: int = 3000

    def problem(self) -> str | None:
        """It must be slow."""
        return "by_ms must be above 0" if self.by_ms <= 0 else Chance.problem(self)

    def spoil(self, keep: Keep) -> Keep:
        """Take more time."""
        return replace(keep, stall_us=keep.stall_us + self.by_ms * _US_PER_MS)

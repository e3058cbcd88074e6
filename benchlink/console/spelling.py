"""Which codec a setting has, in the listing, in an answer and in a line that writes.

What is listed may not be what is written: rules override the console's own codec for
settings by their names, and for one place or all three.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import Enum
from typing import Final, final

from benchlink.console.codec import Codec
from benchlink.console.pieces import pieces
from benchlink.core.intent import matches_any


class Where(Enum):
    """Where a value is spelled."""

    LIST = "list"
    READ = "read"
    WRITE = "write"


EVERYWHERE: Final = frozenset(Where)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """Settings that are spelled otherwise than the rest."""

    names: tuple[str, ...] = ("*",)
    where: frozenset[Where] = EVERYWHERE
    changes: Mapping[str, object] = field(default_factory=dict)
    """Fields of `Codec` and what they are for these settings."""


@final
class Spelling:
    """The console's codec and its exceptions; later rules win."""

    def __init__(self, base: Codec, rules: tuple[Rule, ...] = ()) -> None:
        self.base: Final = base
        self.rules: Final = rules
        self._made: Final[dict[tuple[int, ...], Codec]] = {}

    def pieces(self, text: str, mark: str) -> list[str]:
        """A line cut at a mark, but not inside quotes; whole where there is no mark."""
        base = self.base
        return pieces(text, mark, base.quote, base.escape) if mark else [text]

    def rules_of(self, name: str, where: Where) -> tuple[int, ...]:
        """The places of the rules that hold for `name` there."""
        return tuple(
            index
            for index, rule in enumerate(self.rules)
            if where in rule.where and matches_any(rule.names, name)
        )

    def codec(self, name: str, where: Where) -> Codec:
        """How `name` is spelled there."""
        if not self.rules:
            return self.base
        chosen = self.rules_of(name, where)
        if chosen not in self._made:
            codec = self.base
            for index in chosen:
                codec = replace(codec, **self.rules[index].changes)  # type: ignore[arg-type]
            self._made[chosen] = codec
        return self._made[chosen]

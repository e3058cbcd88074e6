"""Faults of writes: what a setting becomes when the console writes it.

They change what the aircraft stores; the answer is the one to an honest write.
"""

from abc import abstractmethod
from dataclasses import dataclass, replace
from decimal import ROUND_FLOOR, Decimal
from typing import TYPE_CHECKING, ClassVar, final

from .fault import Chance
from .quantities import Fraction, RefusalError, Whole
from .settings import Owner

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .settings import Setting

_US_PER_MS = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Write:
    """A live value about to change; values are in the aircraft's own text form."""

    setting: "Setting"
    old: str
    new: str
    """As an honest board would store it, or as a fault has made it."""
    refused: str | None = None
    """Why it is refused, in words."""
    moved: tuple[str, str] | None = None
    """Another setting that changes too, and its new value."""
    hidden_us: int = 0
    """How long the old value is still shown."""

    @property
    def changes(self) -> bool:
        """Whether the value becomes another one."""
        return self.new != self.old


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """What a fault may look at: the settings in their order, and the live values."""

    settings: "Sequence[Setting]"
    live: "Mapping[str, str]"


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteFault(Chance):
    """Spoils writes; `at` counts those that it can spoil."""

    @abstractmethod
    def spoil(self, write: Write, board: Board, /) -> Write | None:
        """What happens instead; None: this one would go the same way."""


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class ClampedWrite(WriteFault):
    """A number goes only half way, as if a limit lay there."""

    name: ClassVar[str] = "clamped write"

    def spoil(self, write: Write, _board: Board, /) -> Write | None:
        """Half way from the old value, in whole steps."""
        step = _step(write.setting)
        if step is None:
            return None
        old, new = Decimal(write.old), Decimal(write.new)
        steps = ((new - old) / step / 2).to_integral_value()
        return _instead(write, str(old + steps * step))


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class RoundedWrite(WriteFault):
    """A number is rounded down to coarser steps."""

    name: ClassVar[str] = "rounded write"
    steps: int = 10
    """How many of the setting's own steps make one."""

    def problem(self) -> str | None:
        """It must be coarser."""
        return "steps must be above 1" if self.steps <= 1 else Chance.problem(self)

    def spoil(self, write: Write, _board: Board, /) -> Write | None:
        """The next coarse step below."""
        step = _step(write.setting)
        if step is None:
            return None
        coarse = step * self.steps
        count = (Decimal(write.new) / coarse).to_integral_value(ROUND_FLOOR)
        return _instead(write, str(count * coarse))


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class WriteOfNothing(WriteFault):
    """The board says ok and stores nothing."""

    name: ClassVar[str] = "write of nothing"

    def spoil(self, write: Write, _board: Board, /) -> Write | None:
        """The old value stays."""
        return replace(write, new=write.old) if write.changes else None


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class NeighbourMoved(WriteFault):
    """Another number moves by one step."""

    name: ClassVar[str] = "neighbour moved"

    def spoil(self, write: Write, board: Board, /) -> Write | None:
        """The next number in the board's order, of the same part where there is one."""
        here = board.settings.index(write.setting)
        others = (*board.settings[here + 1 :], *board.settings[:here])
        part = write.setting.name.partition(".")[0]
        near = sorted(others, key=lambda s: s.name.partition(".")[0] != part)
        for other in near:
            value = _nudged(other, board.live[other.name])
            if value is not None:
                return replace(write, moved=(other.name, value))
        return None


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class LateReadBack(WriteFault):
    """The value is stored at once, but the old one is shown for a while."""

    name: ClassVar[str] = "late read-back"
    by_ms: int = 1000

    def problem(self) -> str | None:
        """It must be late."""
        return "by_ms must be above 0" if self.by_ms <= 0 else Chance.problem(self)

    def spoil(self, write: Write, _board: Board, /) -> Write | None:
        """Hide the new value."""
        hidden = replace(write, hidden_us=self.by_ms * _US_PER_MS)
        return hidden if write.changes else None


@final
@dataclass(frozen=True, slots=True, kw_only=True)
class RefusedWrite(WriteFault):
    """An honest value is refused."""

    name: ClassVar[str] = "refused write"
    words: str = "not now"

    def problem(self) -> str | None:
        """One line of plain text."""
        if not (self.words.isascii() and self.words.isprintable() and self.words):
            return "words must be one line of plain characters"
        return Chance.problem(self)

    def spoil(self, write: Write, _board: Board, /) -> Write:
        """Refuse."""
        return replace(write, refused=self.words)


def _step(setting: "Setting") -> Decimal | None:
    """The resolution of a number; None: it is no number."""
    match setting.kind:
        case Whole():
            return Decimal(1)
        case Fraction(step=step):
            return Decimal(step)
        case _:
            return None


def _instead(write: Write, given: str) -> Write | None:
    try:
        text = write.setting.kind.take(given).text
    except RefusalError:
        return None
    return replace(write, new=text) if text != write.new else None


def _nudged(setting: "Setting", value: str) -> str | None:
    step = _step(setting)
    if step is None or setting.owner is not Owner.BUILDER:
        return None
    for given in (Decimal(value) + step, Decimal(value) - step):
        try:
            text = setting.kind.take(str(given)).text
        except RefusalError:
            continue
        if text != value:
            return text
    return None

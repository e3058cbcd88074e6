"""Faults by chance: a seed gives a mixture, now and then none."""

from dataclasses import dataclass
from random import Random
from typing import TYPE_CHECKING, Final

from .fault import Way
from .fault_answers import ChatterInAnswer, DoubledAnswer, LateAnswer, MissingAnswer
from .fault_events import BrownOut, OwnRestart, Path, Unplugged
from .fault_keeps import KeepOfAPart, KeepOfNothing, OddlyFailingKeep, SlowKeep
from .fault_restarts import AnotherBoard, AnotherPath, NoReturn
from .fault_wire import DoubledByte, FlippedByte, InputOverrun, LostByte
from .fault_writes import (
    ClampedWrite,
    LateReadBack,
    NeighbourMoved,
    RefusedWrite,
    RoundedWrite,
    WriteOfNothing,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from .fault import Fault

RECEIVED: Final = 3_000
SENT: Final = 60_000
"""Bytes of a session, where nobody says: `at` falls within."""
COUNTS: Final = {0: 3, 1: 9, 2: 5, 3: 2}
"""Weights of how many faults there are."""

_FIRST: Final = 12
"""Counted victims lie among so many."""


@dataclass(frozen=True, slots=True)
class _Dice:
    """Draws parameters."""

    random: Random
    received: int
    sent: int

    def way(self) -> Way:
        return self.random.choice(tuple(Way))

    def byte(self, way: Way) -> int:
        most = self.received if way is Way.RECEIVED else self.sent
        return self.random.randint(1, most)

    def nth(self, most: int = _FIRST) -> int:
        return self.random.randint(1, most)

    def share(self, low: float, high: float) -> float:
        """Small ones as often as large ones."""
        return float(f"{low * (high / low) ** self.random.random():.3g}")

    def ms(self, low: int, high: int) -> int:
        return round(self.share(low, high))

    def yes(self) -> bool:
        return self.random.random() < 0.5

    def path(self) -> Path:
        return self.random.choice(tuple(Path))


def draw(
    seed: int, *, received: int = RECEIVED, sent: int = SENT
) -> "tuple[Fault, ...]":
    """A mixture of faults that depends on the arguments only.

    Args:
        seed: Any whole number.
        received: Bytes that the board gets in such a session, about; above 0.
        sent: Bytes that it says; above 0.

    Raises:
        ValueError: Either is not above 0.
    """
    if min(received, sent) < 1:
        msg = "a session has at least one byte each way"
        raise ValueError(msg)
    random = Random(f"faults {seed}")
    dice = _Dice(random, received, sent)
    (count,) = random.choices(tuple(COUNTS), tuple(COUNTS.values()))
    makers = random.choices(tuple(_MAKERS), tuple(_MAKERS.values()), k=count)
    return tuple(make(dice) for make in makers)


def _lost(dice: _Dice) -> "Fault":
    way = dice.way()
    if dice.yes():
        return LostByte(way=way, at=dice.byte(way))
    return LostByte(way=way, rate=dice.share(1e-5, 1e-2))


def _doubled(dice: _Dice) -> "Fault":
    way = dice.way()
    if dice.yes():
        return DoubledByte(way=way, at=dice.byte(way))
    return DoubledByte(way=way, rate=dice.share(1e-5, 1e-2))


def _flipped(dice: _Dice) -> "Fault":
    way = dice.way()
    if dice.yes():
        return FlippedByte(way=way, at=dice.byte(way))
    return FlippedByte(way=way, rate=dice.share(1e-5, 1e-2))


def _overrun(dice: _Dice) -> "Fault":
    return InputOverrun(at=dice.byte(Way.RECEIVED), for_ms=dice.ms(1, 500))


def _late(dice: _Dice) -> "Fault":
    by_ms = dice.ms(20, 5000)
    if dice.yes():
        return LateAnswer(at=dice.nth(60), by_ms=by_ms)
    return LateAnswer(rate=dice.share(0.005, 0.2), by_ms=by_ms)


def _missing(dice: _Dice) -> "Fault":
    return MissingAnswer(at=dice.nth(60))


def _doubled_answer(dice: _Dice) -> "Fault":
    return DoubledAnswer(at=dice.nth(60))


def _chatter(dice: _Dice) -> "Fault":
    inside = dice.yes()
    if dice.yes():
        return ChatterInAnswer(at=dice.nth(60), inside=inside)
    return ChatterInAnswer(rate=dice.share(0.01, 0.5), inside=inside)


def _unplugged(dice: _Dice) -> "Fault":
    back_ms = dice.ms(50, 5000) if dice.yes() else 0
    path, way = dice.path(), dice.way()
    if dice.random.random() < 0.2:
        after_ms = dice.ms(200, 60_000)
        return Unplugged(after_ms=after_ms, back_ms=back_ms, path=path)
    return Unplugged(at=dice.byte(way), way=way, back_ms=back_ms, path=path)


def _own_restart(dice: _Dice) -> "Fault":
    way = dice.way()
    return OwnRestart(at=dice.byte(way), way=way)


def _brown_out(dice: _Dice) -> "Fault":
    way, part, atomic = dice.way(), dice.share(0.1, 0.99), dice.yes()
    if dice.yes():
        return BrownOut(at_keep=dice.nth(3), part=part, atomic=atomic)
    return BrownOut(at=dice.byte(way), way=way, part=part, atomic=atomic)


_MAKERS: "Final[dict[Callable[[_Dice], Fault], int]]" = {
    _lost: 6,
    _doubled: 3,
    _flipped: 6,
    _overrun: 3,
    _late: 4,
    _missing: 4,
    _doubled_answer: 2,
    _chatter: 5,
    _unplugged: 6,
    _own_restart: 5,
    _brown_out: 5,
    lambda dice: OddlyFailingKeep(at=dice.nth(3), says_ok=dice.yes()): 3,
    lambda dice: KeepOfAPart(at=dice.nth(3), part=dice.share(0.1, 0.9)): 3,
    lambda dice: KeepOfNothing(at=dice.nth(3)): 3,
    lambda dice: SlowKeep(at=dice.nth(3), by_ms=dice.ms(100, 20_000)): 2,
    lambda dice: ClampedWrite(at=dice.nth()): 3,
    lambda dice: RoundedWrite(at=dice.nth()): 3,
    lambda dice: WriteOfNothing(at=dice.nth()): 4,
    lambda dice: NeighbourMoved(at=dice.nth()): 4,
    lambda dice: LateReadBack(at=dice.nth(), by_ms=dice.ms(100, 5000)): 3,
    lambda dice: RefusedWrite(at=dice.nth()): 3,
    lambda dice: NoReturn(at=dice.nth(2)): 2,
    lambda dice: AnotherBoard(at=dice.nth(2), fresh=dice.yes()): 3,
    lambda dice: AnotherPath(at=dice.nth(2)): 3,
}
"""How likely each is beside the others."""

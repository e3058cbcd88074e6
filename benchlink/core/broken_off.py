"""Work at the jig that was broken off: what may be gone on from, and what may not.

Its record proves nothing. But readings of the same day, of the same servo on the same
tooth, are as good as new ones once the person says that nothing was touched.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from benchlink.core.angles import DATUM
from benchlink.core.bench_record import BenchRecord, Held, SideWork, Taken, Work
from benchlink.core.identity import Identity
from benchlink.core.job_steps import Step
from benchlink.core.roles import OwnSide
from benchlink.core.servo_fit import ServoFit
from benchlink.core.servo_part import ServoPart

ON_AN_ARM: Final = frozenset({Work.CENTRE, Work.THROW, Work.TRIM})
"""Work that says something of an arm; the latest of it counts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Present:
    """The bench as it is now."""

    today: datetime
    board: Identity
    held: tuple[Held, ...]
    """The settings that the readings rest on."""
    part: ServoPart | None = None
    """The servo as it was named; None where nobody names it anew."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """Readings that still count, and what they tell together."""

    left_at: datetime
    operator: str
    fit: ServoFit
    taken: tuple[Taken, ...]


def earlier(
    records: Sequence[BenchRecord], work: Work, side: OwnSide, present: Present
) -> Earlier | None:
    """What that work on that arm can go on from; `records` with the oldest first."""
    of_arm = [r for r in records if r.work in ON_AN_ARM and r.side(side)]
    last = of_arm[-1] if of_arm else None
    told = last.side(side) if last else None
    if last is None or told is None or told.fit is None or last.work is not work:
        return None
    taken = resting_on(told)
    if not taken or not _still_counts(last, told.fit, present):
        return None
    since = records[records.index(last) + 1 :]
    undone = {happening.value for happening in Step(work.value).duty.undone_by}
    if any(r.work is Work.CHANGED and r.about in undone for r in since):
        return None
    return Earlier(
        left_at=last.made_at, operator=last.operator, fit=told.fit, taken=taken
    )


def _still_counts(last: BenchRecord, fit: ServoFit, present: Present) -> bool:
    """The same day, board, settings and servo, its angles counted as today."""
    made_on = last.made_at.astimezone(present.today.tzinfo).date()
    return (
        bool(last.broken_off)
        and last.datum == DATUM
        and made_on == present.today.date()
        and last.board.same_board(present.board)
        and last.held == present.held
        and present.part in {None, fit.part}
    )


def resting_on(work: SideWork) -> tuple[Taken, ...]:
    """The readings that its fit rests on: none from before the horn was moved."""
    left = list(work.fit.readings) if work.fit else []
    found: list[Taken] = []
    for taken in reversed(work.taken):
        if taken.reading in left:
            left.remove(taken.reading)
            found.append(taken)
    return tuple(reversed(found))

"""Work at the jig that was broken off: what may be gone on from, and what may not.

Its record proves nothing. But readings of the same day, of the same servo on the same
tooth, are as good as new ones once the person says that nothing was touched.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from typing import Final

from benchlink.core.angles import DATUM
from benchlink.core.bench_record import BenchRecord, Held, SideWork, Taken, Work
from benchlink.core.bench_steps import Purpose
from benchlink.core.identity import Identity
from benchlink.core.job_steps import Step
from benchlink.core.roles import OwnSide
from benchlink.core.servo_fit import ServoFit
from benchlink.core.servo_part import ServoPart
from benchlink.units import PulseUs

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


class LeftOut(Enum):
    """Why a reading of such work does not count any more."""

    CORRECTED = "corrected when it was asked about"
    PUSHING = "taken while the servo pushed"
    HORN = "from before the horn was moved"
    SET_ASIDE = "set aside, for a later one did not agree with it"


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """Readings that still count, and what they tell together."""

    left_at: datetime
    operator: str
    fit: ServoFit
    taken: tuple[Taken, ...]
    left_out: tuple[LeftOut, ...] = ()
    """Why the others do not count, reading by reading."""


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
        left_at=last.made_at,
        operator=last.operator,
        fit=told.fit,
        taken=taken,
        left_out=_left_out(told),
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
    counting = _counting(work)
    return tuple(t for i, t in enumerate(work.taken) if i in counting)


def _counting(work: SideWork) -> frozenset[int]:
    """Which of its readings those are, by their place."""
    left = list(work.fit.readings) if work.fit else []
    found: set[int] = set()
    for place, taken in reversed(tuple(enumerate(work.taken))):
        if taken.reading in left:
            left.remove(taken.reading)
            found.add(place)
    return frozenset(found)


def _left_out(work: SideWork) -> tuple[LeftOut, ...]:
    counting = _counting(work)
    behind = (*work.taken[1:], None)
    return tuple(
        _why(taken, after, work)
        for place, (taken, after) in enumerate(zip(work.taken, behind, strict=True))
        if place not in counting
    )


def _why(taken: Taken, after: Taken | None, work: SideWork) -> LeftOut:
    """By what came right after it: a correction is read at the same pulse, unmoved."""
    if taken.buzzed:
        return LeftOut.PUSHING
    if after is not None and _place(taken) == _place(after):
        return LeftOut.CORRECTED
    return LeftOut.HORN if work.horn_moved else LeftOut.SET_ASIDE


def _place(taken: Taken) -> tuple[PulseUs, bool, Purpose]:
    return taken.reading.pulse_us, taken.reading.rising, taken.purpose

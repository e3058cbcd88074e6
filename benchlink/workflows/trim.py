"""A small change of both tilts after a flight: one plan from what was measured before.

Degrees become pulses through the slope and the way of turning that the newest record of
a centring or a throw holds for each side; nothing of that is ever assumed.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from benchlink.console.roles import RoleBook
from benchlink.core.angles import DATUM, Degrees, Way, angle_words
from benchlink.core.bench_record import BenchRecord, SideWork, Work
from benchlink.core.doors import BenchRecords, Person
from benchlink.core.intent import Intent, Wanted, wanted_value
from benchlink.core.roles import TILT_ROLES, Ends, OwnSide, Role
from benchlink.core.servo_fit import ServoFit
from benchlink.core.servo_part import Turns
from benchlink.core.settings import Snapshot
from benchlink.core.trim import LARGEST_DEG, Lean, SideTrim, TrimmedSide, trim
from benchlink.core.values import Value
from benchlink.errors import UsageError
from benchlink.units import PulseUs

MEASURED: Final = (Work.CENTRE, Work.THROW)
"""Work that measures a servo."""
SETTING: Final = (*MEASURED, Work.TRIM)
"""Work that leaves a centre on the board."""
SAME_US: Final = 1.0
"""Nearer centres are the same: boards and records round."""

_CENTRE_FIRST: Final = "Nothing was written. Run `benchlink centre` first, on the jig."


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """One side as the board holds it now, and what was measured of its servo."""

    side: OwnSide
    now: TrimmedSide
    measured: BenchRecord


@dataclass(frozen=True, slots=True, kw_only=True)
class Trimming:
    """What to write, and what to write down once it is proven."""

    intent: Intent
    works: tuple[SideWork, ...]
    sentences: tuple[str, ...]
    """What each side gets, in words."""

    @property
    def result(self) -> str:
        """All of it in one sentence."""
        return "; ".join(self.sentences)


def standing(
    book: RoleBook, snapshot: Snapshot, records: BenchRecords, person: Person
) -> Mapping[OwnSide, Standing]:
    """Both sides as they are; says where the board and the last record differ.

    Raises:
        UsageError: a side was never measured, or the centre is not where it was left.
    """
    return {
        side: standing_side(side, book, snapshot, records, person) for side in OwnSide
    }


def trimming(
    sides: Mapping[OwnSide, Standing],
    lean: Lean,
    book: RoleBook,
    snapshot: Snapshot,
    *,
    title: str,
    reason: str,
) -> Trimming:
    """New centres of both sides, or none; where ends are pulses, they move along.

    Raises:
        UsageError: too much or too little for a trim, or out of what a servo takes.
    """
    left, right = sides[OwnSide.LEFT], sides[OwnSide.RIGHT]
    new = trim(left.now, right.now, lean)
    wanted: dict[str, Wanted] = {}
    works: list[SideWork] = []
    sentences: list[str] = []
    for stands, side_trim in ((left, new.left), (right, new.right)):
        work = _work(stands, side_trim, book)
        sentences.append(_sentence(stands, side_trim, work))
        if work is None:
            continue
        works.append(work)
        for role, value in _values(stands, work, book, snapshot):
            name = book.require(role)
            wanted[name] = wanted_value(name, value, f"{reason}: {sentences[-1]}")
    if not works:
        msg = "that is too little for a trim: no centre would change"
        hint = "Nothing was written. Ask for more, or leave it."
        raise UsageError(msg, details=tuple(sentences), hint=hint)
    return Trimming(
        intent=Intent(title=title, source="benchlink trim", wanted=wanted),
        works=tuple(works),
        sentences=tuple(sentences),
    )


def standing_side(
    side: OwnSide,
    book: RoleBook,
    snapshot: Snapshot,
    records: BenchRecords,
    person: Person,
) -> Standing:
    """One side as it is; says where the board and the last record differ.

    Raises:
        UsageError: it was never measured, or the centre is not where it was left.
    """
    roles = TILT_ROLES[side]
    centre_us = _required(book, roles.centre, snapshot)
    measured = _newest(records, side, MEASURED)
    fit = _fit(measured, side)
    if measured is None or fit is None:
        msg = f"nobody has measured the {side.value} tilt servo yet"
        raise UsageError(msg, hint=_CENTRE_FIRST)
    _require_usable(measured, fit, side)
    _require_same_seat(side, measured, records)
    _hold_against_last(side, centre_us, fit, _newest(records, side, SETTING), person)
    ends = tuple(_ends(side, centre_us, fit, book, snapshot))
    now = TrimmedSide(fit=fit, centre_us=centre_us, ends_us=ends)
    return Standing(side=side, now=now, measured=measured)


def _required(book: RoleBook, role: Role, snapshot: Snapshot) -> PulseUs:
    pulse = book.pulse(role, snapshot)
    if pulse is None:
        msg = f"the board has no setting {book.require(role)!r}, the {role.words}"
        raise UsageError(msg, hint="Nothing was written. Look at `roles:`.")
    return pulse


def _newest(
    records: BenchRecords, side: OwnSide, works: tuple[Work, ...]
) -> BenchRecord | None:
    found = (records.newest(work, side) for work in works)
    return max(filter(None, found), key=lambda r: (r.number, r.made_at), default=None)


def _fit(record: BenchRecord | None, side: OwnSide) -> ServoFit | None:
    work = record.side(side) if record else None
    return work.fit if work else None


def _require_usable(record: BenchRecord, fit: ServoFit, side: OwnSide) -> None:
    if record.datum != DATUM:
        msg = f"the record of the {side.value} side counts angles otherwise"
        raise UsageError(msg, details=(record.datum,), hint=_CENTRE_FIRST)
    if fit.turns is Turns.NOT_KNOWN:
        msg = f"nobody knows which way a longer pulse tilts the {side.value} arm"
        raise UsageError(msg, hint=_CENTRE_FIRST)


def _require_same_seat(
    side: OwnSide, measured: BenchRecord, records: BenchRecords
) -> None:
    """Refuse what was measured before the horn was moved and nobody read on."""
    for record in reversed(records.kept()):
        if (record.number, record.made_at) <= (measured.number, measured.made_at):
            return
        work = record.side(side)
        if record.broken_off and work and work.horn_moved:
            msg = (
                f"the {side.value} horn was moved on {record.made_at:%Y-%m-%d at %H:%M},"
                " and the centring after it was broken off"
            )
            raise UsageError(msg, hint=_CENTRE_FIRST)


def _hold_against_last(
    side: OwnSide,
    centre_us: PulseUs,
    fit: ServoFit,
    last: BenchRecord | None,
    person: Person,
) -> None:
    """A centre that somebody changed since is said; one far off is another servo."""
    work = last.side(side) if last else None
    if last is None or work is None or work.centre_us is None:
        return
    off_us = abs(centre_us - work.centre_us)
    if off_us <= SAME_US:
        return
    told = (
        f"the {side.value} centre is {centre_us:g} us on the board, and"
        f" {work.centre_us:g} us in the record of {last.made_at:%Y-%m-%d %H:%M}"
    )
    if off_us > LARGEST_DEG * abs(fit.us_per_deg):
        raise UsageError(told, hint=_CENTRE_FIRST)
    person.tell(f"{told[0].upper()}{told[1:]}: the trim goes on from the board's.")


def _ends(
    side: OwnSide,
    centre_us: PulseUs,
    fit: ServoFit,
    book: RoleBook,
    snapshot: Snapshot,
) -> Iterator[PulseUs]:
    for way in Way:
        role = TILT_ROLES[side].end(way)
        value = book.value(role, snapshot) if book.has(role) else None
        if value is not None:
            longer = (fit.us_per_deg > 0) == (way is Way.FORWARD)
            yield book.end_pulse(role, value, centre=centre_us, longer=longer)


def _work(stands: Standing, new: SideTrim, book: RoleBook) -> SideWork | None:
    """What is really set, at the nearest step of the board; None where nothing is."""
    now, role = stands.now, TILT_ROLES[stands.side].centre
    centre_us = book.pulse_of(role, book.value_for(role, new.centre_us))
    if not new.shift_us or centre_us == now.centre_us:
        return None
    return SideWork(
        side=stands.side,
        centre_us=centre_us,
        was_centre_us=now.centre_us,
        by_deg=Degrees((centre_us - now.centre_us) / now.fit.us_per_deg),
        fit=now.fit,
    )


def _sentence(stands: Standing, new: SideTrim, work: SideWork | None) -> str:
    side, was_us = stands.side.value, stands.now.centre_us
    if work is None or work.by_deg is None or work.centre_us is None:
        little = (
            f": {abs(new.by_deg):.2g} deg is less than a step" if new.by_deg else ""
        )
        return f"{side} tilt stays at {was_us:g} us{little}"
    by = angle_words(work.by_deg)
    return f"{side} tilt {by}: centre {was_us:g} us to {work.centre_us:g} us"


def _values(
    stands: Standing, work: SideWork, book: RoleBook, snapshot: Snapshot
) -> Iterator[tuple[Role, Value]]:
    roles = TILT_ROLES[stands.side]
    centre_us = work.centre_us or stands.now.centre_us
    yield roles.centre, book.value_for(roles.centre, centre_us)
    if book.ends is not Ends.PULSES:
        return
    shift_us = centre_us - stands.now.centre_us
    for way in Way:
        role = roles.end(way)
        held = book.pulse(role, snapshot) if book.has(role) else None
        if held is not None:
            yield role, book.value_for(role, held + shift_us)


def full_throw_deg(book: RoleBook, snapshot: Snapshot, records: BenchRecords) -> float:
    """How far both arms can tilt either way: measured, else as the board has it.

    Raises:
        UsageError: nobody knows.
    """
    measured = [records.newest(Work.THROW, side) for side in OwnSide]
    sizes = [
        abs(end.angle.mean_deg)
        for record in measured
        if record
        for work in record.sides
        for end in work.ends
    ]
    if not sizes or None in measured:
        angles = (TILT_ROLES[side].angle(way) for side in OwnSide for way in Way)
        held = (book.number(r, snapshot) for r in angles if book.has(r))
        sizes = [size for size in held if size]
    if not sizes:
        msg = "nobody has measured how far the arms tilt"
        raise UsageError(
            msg, hint="Nothing was written. Run `benchlink throw` first, on the jig."
        )
    return min(sizes)

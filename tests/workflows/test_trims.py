"""From degrees to settings, through what was measured, and only through that."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import final

import pytest

from benchlink.console.description import Description
from benchlink.console.roles import RoleBook
from benchlink.core.angles import Degrees
from benchlink.core.bench_record import BenchRecord, Work
from benchlink.core.roles import Ends, OwnSide, Role
from benchlink.core.servo_fit import new_fit
from benchlink.core.servo_part import UNKNOWN_SERVO, Turns
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.trim import Lean
from benchlink.core.values import Number
from benchlink.errors import UsageError
from benchlink.units import PulseUs
from benchlink.workflows.trim import Trimming, full_throw_deg, standing, trimming
from tests.support.bench_records import NOON, measured, record_of, side_work
from tests.support.people import ScriptedPerson
from tests.support.virtual_bench import wader

LEFT = side_work(OwnSide.LEFT, measured(Turns.FORWARD))
RIGHT = side_work(OwnSide.RIGHT, measured(Turns.AFT, us_per_deg=12.5))
BOTH = record_of(Work.THROW, LEFT, RIGHT)
ONE_AFT = Lean(together_deg=Degrees(-1.0))


@final
class Shelf:
    """Records in a list, numbered as they come."""

    def __init__(self, *records: BenchRecord) -> None:
        self.records = [
            replace(record, number=n) for n, record in enumerate(records, start=1)
        ]

    def keep(self, record: BenchRecord) -> str:
        self.records.append(record)
        return "x"

    def newest(self, work: Work, side: OwnSide | None = None) -> BenchRecord | None:
        found = [
            r
            for r in self.records
            if r.work is work
            and not r.broken_off
            and (side is None or r.side(side) is not None)
        ]
        return found[-1] if found else None

    def kept(self) -> tuple[BenchRecord, ...]:
        return tuple(self.records)


def board(**changed: str) -> Snapshot:
    held = {
        "tilt.left.centre_us": "1500",
        "tilt.left.aft_us": "400",
        "tilt.left.fore_us": "390",
        "tilt.right.centre_us": "1500",
        "tilt.right.aft_us": "410",
        "tilt.right.fore_us": "405",
        "tilt.left.aft_deg": "36",
        "tilt.left.fore_deg": "35.5",
    } | {name.replace("__", "."): text for name, text in changed.items()}
    return Snapshot(
        settings={
            n: Setting(name=n, value=Number(Decimal(t)), raw=t) for n, t in held.items()
        },
        not_understood=(),
        verbatim=b"",
    )


def planned(
    lean: Lean,
    shelf: Shelf,
    *,
    snapshot: Snapshot | None = None,
    description: Description | None = None,
    person: ScriptedPerson | None = None,
) -> Trimming:
    book = RoleBook(description or wader())
    snapshot = snapshot or board()
    sides = standing(book, snapshot, shelf, person or ScriptedPerson())
    return trimming(sides, lean, book, snapshot, title="trim", reason="drifts forward")


def wanted(plan: Trimming) -> Mapping[str, str]:
    return {n: getattr(w.given, "text", "") for n, w in plan.intent.wanted.items()}


def test_each_side_goes_through_its_own_slope_and_way_of_turning() -> None:
    plan = planned(ONE_AFT, Shelf(BOTH))

    assert wanted(plan) == {
        "tilt.left.centre_us": "1490",
        "tilt.right.centre_us": "1512",
    }
    reasons = [w.reason for w in plan.intent.wanted.values()]
    assert reasons[0].startswith("drifts forward: left tilt 1.0 deg aft")


def test_where_ends_are_pulses_they_move_with_the_centre() -> None:
    description = wader()
    roles = replace(description.roles, ends=Ends.PULSES)
    snapshot = board(
        tilt__left__aft_us="1100",
        tilt__left__fore_us="1890",
        tilt__right__aft_us="1910",
        tilt__right__fore_us="1095",
    )
    plan = planned(
        ONE_AFT,
        Shelf(BOTH),
        snapshot=snapshot,
        description=replace(description, roles=roles),
    )

    assert wanted(plan) == {
        "tilt.left.centre_us": "1490",
        "tilt.left.aft_us": "1090",
        "tilt.left.fore_us": "1880",
        "tilt.right.centre_us": "1512",
        "tilt.right.aft_us": "1922",
        "tilt.right.fore_us": "1107",
    }


def test_what_the_board_rounds_to_is_what_is_told_and_recorded() -> None:
    description = wader()
    settings = dict(description.roles.settings)
    centre = settings[Role.LEFT_CENTRE]
    settings[Role.LEFT_CENTRE] = replace(centre, step=Decimal(4))
    coarse = replace(description, roles=replace(description.roles, settings=settings))
    plan = planned(ONE_AFT, Shelf(BOTH), description=coarse)

    # 1490 lies between 1488 and 1492: the even step is taken.
    assert plan.works[0].centre_us == PulseUs(1488)
    assert plan.works[0].by_deg == pytest.approx(-1.2, abs=0.05)
    assert "1.2 deg aft" in plan.sentences[0]


def test_an_end_out_of_what_the_servo_takes_is_refused() -> None:
    with pytest.raises(UsageError, match="outside what this servo takes"):
        planned(ONE_AFT, Shelf(BOTH), snapshot=board(tilt__left__aft_us="495"))


def test_a_side_that_stays_is_not_written() -> None:
    lean = Lean(together_deg=Degrees(-0.5), opposed_deg=Degrees(0.5))
    plan = planned(lean, Shelf(BOTH))

    assert list(wanted(plan)) == ["tilt.right.centre_us"]
    assert plan.result.startswith("left tilt stays at 1500 us; right tilt 1.0 deg aft")


def test_less_than_a_step_on_both_sides_is_refused() -> None:
    with pytest.raises(UsageError, match="too little") as told:
        planned(Lean(together_deg=Degrees(0.03)), Shelf(BOTH))

    assert "0.03 deg is less than a step" in told.value.details[0]


def test_the_newest_measuring_counts_by_number_not_by_clock() -> None:
    later = replace(
        record_of(
            Work.CENTRE, side_work(OwnSide.LEFT, measured(Turns.FORWARD, us_per_deg=8))
        ),
        made_at=NOON - timedelta(days=99),
    )
    plan = planned(ONE_AFT, Shelf(BOTH, later))

    assert wanted(plan)["tilt.left.centre_us"] == "1492"


def test_a_centre_changed_since_by_hand_is_told_and_gone_on_from() -> None:
    person = ScriptedPerson()
    plan = planned(
        ONE_AFT,
        Shelf(BOTH),
        snapshot=board(tilt__left__centre_us="1508"),
        person=person,
    )

    assert wanted(plan)["tilt.left.centre_us"] == "1498"
    assert any(
        "1508 us on the board, and 1500 us in the record" in t for t in person.told
    )


def test_after_a_trim_the_board_is_held_against_that_one() -> None:
    person = ScriptedPerson()
    trimmed = record_of(Work.TRIM, replace(LEFT, centre_us=PulseUs(1508), fit=None))
    planned(
        ONE_AFT,
        Shelf(BOTH, trimmed),
        snapshot=board(tilt__left__centre_us="1508"),
        person=person,
    )

    assert person.told == []


def test_a_centre_far_from_the_record_wants_the_jig() -> None:
    with pytest.raises(UsageError, match="1540 us on the board") as told:
        planned(ONE_AFT, Shelf(BOTH), snapshot=board(tilt__left__centre_us="1540"))

    assert "benchlink centre" in told.value.hint


@pytest.mark.parametrize(
    ("shelf", "why"),
    [
        (Shelf(), "nobody has measured the left"),
        (Shelf(record_of(Work.THROW, LEFT)), "nobody has measured the right"),
        (
            Shelf(record_of(Work.THROW, replace(LEFT, fit=None), RIGHT)),
            "measured the left",
        ),
        (Shelf(replace(BOTH, datum="0 deg is level")), "counts angles otherwise"),
        (
            Shelf(
                record_of(Work.CENTRE, replace(LEFT, fit=new_fit(UNKNOWN_SERVO)), RIGHT)
            ),
            "which way a longer pulse tilts the left arm",
        ),
    ],
)
def test_what_was_not_measured_is_never_assumed(shelf: Shelf, why: str) -> None:
    with pytest.raises(UsageError, match=why) as told:
        planned(ONE_AFT, shelf)

    assert "benchlink centre" in told.value.hint


def test_a_console_without_roles_says_what_to_add() -> None:
    description = wader()
    bare = replace(description, roles=replace(description.roles, settings={}))

    with pytest.raises(UsageError, match="does not say which setting") as told:
        planned(ONE_AFT, Shelf(BOTH), description=bare)
    assert "left-centre" in told.value.hint


def test_the_throw_is_the_measured_one_else_the_boards_else_unknown() -> None:
    book = RoleBook(wader())

    assert full_throw_deg(book, board(), Shelf(BOTH)) == 36.0
    assert full_throw_deg(book, board(), Shelf(record_of(Work.THROW, LEFT))) == 35.5
    description = wader()
    bare = RoleBook(replace(description, roles=replace(description.roles, settings={})))
    with pytest.raises(UsageError, match="how far the arms tilt"):
        full_throw_deg(bare, board(), Shelf())


def test_what_was_broken_off_measures_nothing_and_a_moved_horn_undoes_what_did() -> (
    None
):
    broken = replace(
        record_of(Work.CENTRE, replace(LEFT, centre_us=PulseUs(1600.0))),
        broken_off="2 readings of the left arm",
    )
    assert (
        wanted(planned(ONE_AFT, Shelf(BOTH, broken)))["tilt.left.centre_us"] == "1490"
    )

    moved = replace(broken, sides=(replace(LEFT, horn_moved=True),))
    with pytest.raises(UsageError, match="the left horn was moved on 2026-03-01"):
        planned(ONE_AFT, Shelf(BOTH, moved))
    plan = planned(ONE_AFT, Shelf(moved, BOTH))
    assert wanted(plan)["tilt.left.centre_us"] == "1490"

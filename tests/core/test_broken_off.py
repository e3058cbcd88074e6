"""Work that was broken off: what of it can be gone on from, and how the job tells it."""

from dataclasses import replace
from datetime import timedelta

import pytest

from benchlink.core.angles import Degrees, Side
from benchlink.core.bench_record import BenchRecord, Held, Taken, Work
from benchlink.core.bench_steps import Purpose
from benchlink.core.broken_off import (
    Earlier,
    LeftOut,
    Present,
    earlier,
    resting_on,
)
from benchlink.core.job_standing import Standing
from benchlink.core.job_steps import Happening, Step
from benchlink.core.roles import OwnSide
from benchlink.core.servo_fit import Reading
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.units import PulseUs
from tests.support.bench_records import NOON, WADER, measured, record_of, side_work
from tests.support.job_bench import (
    ALL_DONE,
    CENTRED,
    OTHER_BOARD,
    RIGHT,
    SPUN,
    happened,
    judged,
)

HELD = (Held("tilt.left.direction", "normal"),)
PART = ServoPart(turns=Turns.FORWARD)
READ = replace(
    side_work(OwnSide.LEFT, measured(Turns.FORWARD)),
    centre_us=None,
    was_centre_us=None,
    angle=None,
    play=None,
    ends=(),
)
BROKEN = replace(
    record_of(Work.CENTRE, READ, result="broken off: interrupted; 4 readings"),
    right=False,
    broken_off="4 readings of the left arm",
    held=HELD,
)
NOW = Present(today=NOON + timedelta(hours=3), board=WADER, held=HELD, part=PART)


def of(
    *records: BenchRecord, present: Present = NOW, work: Work = Work.CENTRE
) -> Earlier | None:
    """What the left arm can go on from, records numbered as they come."""
    told = [replace(r, number=n) for n, r in enumerate(records, start=1)]
    return earlier(told, work, OwnSide.LEFT, present)


def test_readings_of_the_same_day_can_be_gone_on_from() -> None:
    found = of(CENTRED, BROKEN)
    assert found is not None
    assert found.taken == READ.taken
    assert found.fit == READ.fit
    assert (found.left_at, found.operator) == (NOON, "the assistant")


@pytest.mark.parametrize(
    "present",
    [
        replace(NOW, today=NOON + timedelta(days=1)),
        replace(NOW, board=OTHER_BOARD),
        replace(NOW, held=(Held("tilt.left.direction", "reversed"),)),
        replace(NOW, part=replace(PART, teeth=21)),
    ],
    ids=["another day", "another board", "other settings", "another servo"],
)
def test_at_another_bench_nothing_is_gone_on_from(present: Present) -> None:
    assert of(BROKEN, present=present) is None


@pytest.mark.parametrize(
    "later",
    [
        CENTRED,
        record_of(Work.TRIM, READ),
        replace(BROKEN, work=Work.THROW),
        happened(Happening.SERVO),
        replace(BROKEN, sides=(replace(READ, fit=None),)),
        replace(BROKEN, datum="another one"),
    ],
    ids=["centred", "trimmed", "thrown", "servo changed", "no fit", "other datum"],
)
def test_what_came_after_it_counts_instead(later: BenchRecord) -> None:
    assert of(BROKEN, later) is None


def test_what_has_nothing_to_do_with_the_arm_changes_nothing() -> None:
    others = (record_of(Work.CENTRE, RIGHT), happened(Happening.RADIO), SPUN)
    assert of(BROKEN, *others) is not None


def test_a_record_that_is_whole_is_not_gone_on_from() -> None:
    assert of(CENTRED) is None
    assert of() is None


def test_a_throw_goes_on_from_a_throw_whatever_servo_it_was_called() -> None:
    thrown = replace(BROKEN, work=Work.THROW)
    present = replace(NOW, part=None)
    assert of(CENTRED, thrown, present=present, work=Work.THROW) is not None
    assert of(CENTRED, thrown, present=present) is None


def test_only_readings_since_the_horn_was_moved_are_rested_on() -> None:
    assert READ.fit is not None
    before = Taken(
        reading=Reading(pulse_us=PulseUs(1500.0), rising=True, angle_deg=Degrees(14.0)),
        came=Side.FROM_AFT,
        purpose=Purpose.FIRST,
    )
    moved = READ.fit.with_horn_moved(-14.4, 10.0)
    work = replace(READ, taken=(*READ.taken, before), fit=moved)
    assert resting_on(work) == ()
    after = replace(before, purpose=Purpose.SEATED)
    work = replace(
        work, taken=(*work.taken, after), fit=moved.with_reading(after.reading)
    )
    assert resting_on(work) == (after,)


# How the steps of the job tell it


def test_a_step_that_was_never_done_is_open_and_says_where_it_was_broken_off() -> None:
    state = judged([BROKEN])[Step.CENTRE]
    assert state.standing is Standing.OPEN
    assert state.why == (
        "broken off at 13:00 after 4 readings of the left arm (2026-03-01);"
        " the right side is still to do"
    )
    assert state.proof == "broken off: interrupted; 4 readings"


def test_one_side_that_is_right_does_not_hide_the_other_that_was_broken_off() -> None:
    state = judged([record_of(Work.CENTRE, RIGHT), BROKEN])[Step.CENTRE]
    assert state.standing is Standing.OPEN
    assert state.why.startswith("broken off at 14:00 after 4 readings")


def test_a_step_that_was_done_is_to_do_again_and_no_other_pulse_is_made_up() -> None:
    state = judged([*ALL_DONE, BROKEN])[Step.CENTRE]
    assert state.standing is Standing.AGAIN
    assert state.why.startswith("broken off at ")
    assert "us now" not in state.why


def test_a_throw_that_was_broken_off_leaves_the_centre_as_it_is() -> None:
    states = judged([CENTRED, replace(BROKEN, work=Work.THROW)])
    assert states[Step.CENTRE].standing is Standing.DONE
    assert states[Step.THROW].standing is Standing.OPEN


def test_a_spin_that_was_broken_off_is_not_done() -> None:
    spun = replace(SPUN, right=False, broken_off="1 motor tried")
    assert judged([spun])[Step.SPIN].standing is Standing.OPEN
    state = judged([SPUN, spun])[Step.SPIN]
    assert state.standing is Standing.AGAIN
    assert "after 1 motor tried" in state.why


def test_once_it_came_to_its_end_what_was_broken_off_before_is_forgotten() -> None:
    assert judged([BROKEN, CENTRED])[Step.CENTRE].standing is Standing.DONE


def aside(pulse: float, **told: bool) -> Taken:
    """A reading that the fit does not rest on."""
    angle_deg = Degrees(30.0)
    reading = Reading(pulse_us=PulseUs(pulse), rising=True, angle_deg=angle_deg)
    buzzed = told.get("buzzed", False)
    came = Side.FROM_AFT
    return Taken(reading=reading, came=came, purpose=Purpose.AIM, buzzed=buzzed)


@pytest.mark.parametrize(
    ("place", "reading", "horn_moved", "why"),
    [
        (1, aside(1450.0), False, LeftOut.CORRECTED),
        (1, aside(1450.0), True, LeftOut.CORRECTED),
        (0, aside(1500.0), True, LeftOut.HORN),
        (0, aside(1500.0), False, LeftOut.SET_ASIDE),
        (4, aside(1500.0, buzzed=True), False, LeftOut.PUSHING),
    ],
)
def test_a_reading_that_counts_no_more_is_told_with_its_reason(
    place: int, reading: Taken, why: LeftOut, *, horn_moved: bool
) -> None:
    taken = (*READ.taken[:place], reading, *READ.taken[place:])
    work = replace(READ, taken=taken, horn_moved=horn_moved)
    found = of(replace(BROKEN, sides=(work,)))
    assert found is not None
    assert found.taken == READ.taken
    assert found.left_out == (why,)

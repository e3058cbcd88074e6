"""What is noted while somebody works: all of it counted, nothing of it proven."""

from dataclasses import replace

from benchlink.core.angles import Degrees, Side
from benchlink.core.bench_record import Taken
from benchlink.core.bench_steps import Purpose
from benchlink.core.broken_off import Earlier
from benchlink.core.roles import OwnSide
from benchlink.core.seating import HornMove
from benchlink.core.servo_fit import Reading
from benchlink.core.servo_part import Turns
from benchlink.core.spin_answers import Answer, Turned
from benchlink.units import PulseUs
from benchlink.workflows.notebook import Notebook
from tests.support.bench_records import NOON, measured

TAKEN = Taken(
    reading=Reading(pulse_us=PulseUs(1500.0), rising=True, angle_deg=Degrees(1.0)),
    came=Side.FROM_AFT,
    purpose=Purpose.FIRST,
)
EARLIER = Earlier(
    left_at=NOON, operator="builder", fit=measured(Turns.FORWARD), taken=(TAKEN,)
)


def test_an_empty_notebook_has_nothing_to_tell() -> None:
    notes = Notebook()
    notes.arm(OwnSide.LEFT)
    assert (notes.what, notes.sides) == ("", ())


def test_earlier_readings_alone_are_written_down_already() -> None:
    notes = Notebook()
    arm = notes.arm(OwnSide.LEFT, EARLIER)
    assert arm.fit == EARLIER.fit
    assert notes.what == ""
    arm.taken.append(TAKEN)
    assert notes.what == "2 readings of the left arm"
    (work,) = notes.sides
    assert work.taken == (replace(TAKEN, earlier=True), TAKEN)
    assert (work.centre_us, work.ends) == (None, ())


def test_all_that_was_seen_is_counted() -> None:
    notes = Notebook()
    for side in OwnSide:
        notes.arm(side).taken.append(TAKEN)
    notes.answers.append(Answer(ordered=OwnSide.LEFT, turned=Turned.LEFT, turning=None))
    assert notes.what == (
        "1 reading of the left arm, 1 reading of the right arm, 1 motor tried"
    )


def test_a_horn_that_is_off_leaves_no_reading_in_the_fit() -> None:
    notes = Notebook()
    arm = notes.arm(OwnSide.LEFT)
    move = HornMove(
        way=Side.FROM_AFT.moving,
        teeth=1,
        arms_on=0,
        by_deg=Degrees(14.4),
        step_deg=14.4,
        remaining_deg=Degrees(0.5),
    )
    arm.horn_is_off(measured(Turns.FORWARD), move)
    assert arm.fit is not None
    assert arm.fit.readings == ()
    assert arm.work.horn_moved

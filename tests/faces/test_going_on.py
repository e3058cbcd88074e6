"""What is said before work at the jig goes on from earlier readings."""

from dataclasses import replace
from io import StringIO

import pytest

from benchlink.core.angles import Degrees
from benchlink.core.bench_record import BenchRecord, Taken, Work
from benchlink.core.roles import OwnSide
from benchlink.core.servo_fit import Reading
from benchlink.core.servo_part import Turns
from benchlink.faces.at_board import AtBoard
from benchlink.faces.going_on import go_on_from
from benchlink.faces.noting import Noting
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.wiring import Bench, now
from benchlink.units import PulseUs
from benchlink.workflows.bench_watch import Who
from benchlink.workflows.read import read_settled
from tests.support.bench_records import measured, record_of, side_work
from tests.support.people import ScriptedPerson
from tests.support.virtual_bench import meet_wader, virtual_board

FOUR = side_work(OwnSide.LEFT, measured(Turns.FORWARD))
WRONG = Reading(pulse_us=PulseUs(1450.0), rising=True, angle_deg=Degrees(5.0))
OTHER = Reading(pulse_us=PulseUs(1600.0), rising=True, angle_deg=Degrees(31.0))


class Shelf:
    """The one record that there is."""

    def __init__(self) -> None:
        self.record: BenchRecord | None = None

    def kept(self) -> tuple[BenchRecord, ...]:
        return (self.record,) if self.record else ()

    def keep(self, record: BenchRecord) -> str:
        raise NotImplementedError

    def newest(self, work: Work, side: OwnSide | None = None) -> BenchRecord | None:
        raise NotImplementedError


def aside(reading: Reading) -> Taken:
    return replace(FOUR.taken[0], reading=reading)


@pytest.mark.parametrize(
    ("before", "horn_moved", "said"),
    [
        ((), False, "4 readings of it can still count."),
        (
            (OTHER, WRONG),
            True,
            "4 readings of it can still count; 2 cannot: from before the horn was moved.",
        ),
        (
            (OTHER,),
            False,
            (
                "4 readings of it can still count; 1 cannot: set aside, for a later one"
                " did not agree with it."
            ),
        ),
    ],
)
def test_it_says_how_many_readings_count_and_why_the_others_do_not(
    before: tuple[Reading, ...], said: str, *, horn_moved: bool
) -> None:
    session, told, shelf = meet_wader(virtual_board()), StringIO(), Shelf()
    person = PlainPerson(stderr=told, asks=lambda _: "yes")
    bench = Bench(session=session, console_hash="", close=lambda: None)
    noted = Noting(
        at=AtBoard(bench=bench, person=person, aircraft=None),
        work=Work.CENTRE,
        who=Who(aircraft="LW-03", operator="builder"),
        before=read_settled(session, ScriptedPerson()),
        records=shelf,
    )
    work = replace(
        FOUR, taken=(*map(aside, before), *FOUR.taken), horn_moved=horn_moved
    )
    shelf.record = replace(
        record_of(Work.CENTRE, work, board=session.identity, made_at=now()),
        broken_off="readings of the left arm",
        held=noted.held(),
    )
    found = go_on_from(noted, OwnSide.LEFT)
    assert found is not None
    assert found.taken == FOUR.taken
    (sentence,) = told.getvalue().splitlines()
    assert sentence.partition(f"({shelf.record.operator}): ")[2] == said

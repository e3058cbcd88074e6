"""No servo pulse goes to a pad that the settings do not call a tilt servo."""

import pytest

from benchlink.console.grammar import Grammar
from benchlink.core.jobs import Job
from benchlink.errors import SafetyRefusalError
from benchlink.units import PulseUs
from benchlink.workflows.bench_watch import Who
from benchlink.workflows.mover import Mover
from benchlink.workflows.output_map import jobs_of, map_of
from benchlink.workflows.read import read_settled
from benchlink.workflows.session import meet
from benchlink.workflows.tilt_bench import TiltBench
from mocks.control import tell_hands
from tests.support.people import ScriptedPerson
from tests.support.virtual_bench import virtual_board, wader, words_sent
from tests.support.virtual_board import VirtualBoard

CENTRE = PulseUs(1500.0)
WHO = Who(aircraft="LW-03", operator="assistant")


@pytest.fixture
def board() -> VirtualBoard:
    """The pack is out, the rail on a bench supply."""
    board = virtual_board()
    for order in ("disconnect pack", "connect rail"):
        tell_hands(board.device, order, board.now_us)
    return board


def bench_of(board: VirtualBoard, person: ScriptedPerson) -> TiltBench:
    session = meet(board, Grammar(wader()))
    mover = Mover(session, person, lambda: board.now, WHO)
    mover.window(CENTRE, PulseUs(1560.0))
    return TiltBench(
        mover=mover,
        person=person,
        pause=lambda _: None,
        snapshot=read_settled(session, person),
        epoch=session.epoch,
    )


def ready(board: VirtualBoard) -> TiltBench:
    bench = bench_of(board, ScriptedPerson())
    bench.mover.require_safe_to_tilt(("an arm",))
    bench.mover.known(jobs_of(map_of(bench.mover.session, bench.snapshot)))
    return bench


def test_a_tilt_is_driven(board: VirtualBoard) -> None:
    ready(board).mover.drive("p3", CENTRE)
    assert words_sent(board, "swing") == ["swing p3 to 1500 for 1000"]


@pytest.mark.parametrize(
    ("pad", "why"),
    [("p1", "it drives the left motor"), ("p5", "no settings that were read since")],
)
def test_anything_else_is_refused_and_nothing_is_sent(
    board: VirtualBoard, pad: str, why: str
) -> None:
    mover = ready(board).mover
    for move in (mover.drive, mover.nudge):
        with pytest.raises(
            SafetyRefusalError, match=f"no servo is moved on {pad}: {why}"
        ):
            move(pad, CENTRE)
    assert words_sent(board, "swing") == []


def test_without_settings_that_were_read_nothing_is_known(board: VirtualBoard) -> None:
    bench = bench_of(board, ScriptedPerson())
    bench.mover.require_safe_to_tilt(("an arm",))
    with pytest.raises(SafetyRefusalError, match="no settings that were read"):
        bench.mover.drive("p3", CENTRE)


def test_what_was_known_before_a_restart_is_not_known_after_it(
    board: VirtualBoard,
) -> None:
    mover = ready(board).mover
    board.restart_by_hand()
    with pytest.raises(SafetyRefusalError, match="since the board started"):
        mover.drive("p3", CENTRE)


def test_a_job_that_is_known_to_be_a_motor_s_is_no_tilt(board: VirtualBoard) -> None:
    mover = ready(board).mover
    mover.known({"p3": Job.MOTOR_LEFT})
    with pytest.raises(SafetyRefusalError, match="it drives the left motor"):
        mover.drive("p3", CENTRE)

"""The map of outputs of every described console, beside what the board truly does."""

from dataclasses import replace

import pytest

from benchlink.core.jobs import Job
from benchlink.core.output_findings import Wrong, findings
from benchlink.core.wiggle_findings import Exchange
from benchlink.workflows.output_map import exchanged, read_map
from benchlink.workflows.planning import prepare
from mocks import timers
from tests.consoles.consoles import AVOCET, CASES, Case, board_of, meet_board
from tests.support.people import ScriptedPerson
from tests.support.virtual_bench import wanting
from tests.support.virtual_board import VirtualBoard

every_console = pytest.mark.parametrize("case", CASES, ids=str)
OWN_RATES = [case for case in CASES if case is not AVOCET]
"""Consoles on which a pad has a rate that can be set."""


def put(board: VirtualBoard, **values: str) -> None:
    for name, value in values.items():
        board.device.aircraft.put(name.replace("__", "."), value)


@every_console
@pytest.mark.parametrize("settings", [60, 612])
def test_the_map_is_what_the_board_does(case: Case, settings: int) -> None:
    board = board_of(case, replace(case.options, settings=settings))
    put(board, output__p1__job="tilt-left", output__p3__job="motor-right")
    put(board, output__p2__job="elevator", tilt__left__rate_hz="100")
    outputs = read_map(meet_board(case, board), ScriptedPerson())[0].outputs
    live = board.device.aircraft.live
    jobs = [name for name in live if name.endswith(".job")]
    assert len(outputs) >= len(jobs)
    for number, output in enumerate(outputs, start=1):
        word = live.get(f"output.p{number}.job", "nothing")
        known = {job.value: job for job in Job}
        assert output.job is known.get(word)
        assert output.free is (word == "nothing")
        assert output.rate_hz in {None, timers.asked_hz(live, number)}
        assert {f"p{number}", str(number)} & {output.pad}
        group = [n for n in timers.group(number) if n <= len(outputs)]
        assert group == [
            n for n, other in enumerate(outputs, start=1) if other.timer == output.timer
        ]
        high = live.get(f"output.p{number}.high_us")
        assert high is None or output.longest_us == float(high)


@every_console
def test_a_fresh_board_has_a_sound_map(case: Case) -> None:
    declared, _ = read_map(meet_board(case, board_of(case)), ScriptedPerson())
    assert findings(declared) == ()


@pytest.mark.parametrize("case", OWN_RATES, ids=str)
def test_a_fast_motor_beside_a_servo_is_found_and_true(case: Case) -> None:
    board = board_of(case)
    put(board, output__p2__job="tilt-left", output__p3__job="motor-right")
    put(board, output__p1__rate_hz="400")
    declared, _ = read_map(meet_board(case, board), ScriptedPerson())
    (found,) = findings(declared)
    assert found.about is Wrong.TIMER
    assert timers.rate_hz(board.device.aircraft.live, 2) == 400


@every_console
def test_a_plan_that_brings_a_finding_about_says_so(case: Case) -> None:
    board = board_of(case)
    session = meet_board(case, board)
    declared, snapshot = read_map(session, ScriptedPerson())
    (left,) = declared.doing(Job.TILT_LEFT)
    (motor,) = declared.doing(Job.MOTOR_LEFT)
    intent = exchanged(Exchange(one=left, other=motor), snapshot)
    only = {left.setting: intent.wanted[left.setting]}
    plan = prepare(session, ScriptedPerson(), replace(intent, wanted=only)).plan
    assert [warning.partition(": ")[0] for warning in plan.warnings] == [
        "This plan brings about"
    ] * 2
    assert any("No pad drives the left tilt servo." in text for text in plan.warnings)


@every_console
def test_a_plan_that_leaves_the_map_alone_says_nothing(case: Case) -> None:
    board = board_of(case)
    put(board, output__p3__job="nothing")
    session = meet_board(case, board)
    declared, snapshot = read_map(session, ScriptedPerson())
    assert findings(declared)
    name = next(
        n for n in case.changes if n.lower().endswith(("pcap", "capacity", "mah"))
    )
    assert name in snapshot.settings
    plan = prepare(session, ScriptedPerson(), wanting({name: "1800"})).plan
    assert plan.changes
    assert plan.warnings == ()

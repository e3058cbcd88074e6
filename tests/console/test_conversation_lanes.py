from dataclasses import replace

import pytest

from benchlink.console.events import Replaced
from benchlink.console.lanes import Lane
from benchlink.console.pace import LEAD
from benchlink.console.phases import Phase
from benchlink.core.exchange import Verdict
from benchlink.units import Seconds, baud, wire_time
from tests.console.talking import MANNER, Desk, answer_to, command


@pytest.fixture
def desk() -> Desk:
    return Desk().ready()


# Stop


def test_a_stop_leaves_past_a_full_window_and_queued_bulk(desk: Desk) -> None:
    for n in range(9):
        desk.submit(f"recite setting.{n}")
    desk.submit("halt", Lane.STOP)
    assert desk.lines_sent() == ["recite setting.0", "halt"]


def test_a_stop_leaves_beside_a_command_that_is_alone(desk: Desk) -> None:
    desk.order(command("keep", alone=True))
    desk.submit("plate")
    desk.submit("halt", Lane.STOP)
    assert desk.lines_sent() == ["keep", "halt"]


def test_a_stop_leaves_though_the_paced_wire_is_busy() -> None:
    desk = Desk(speed=baud(300)).ready()
    desk.submit("recite a.long.name")
    desk.submit("halt", Lane.STOP)
    assert desk.lines_sent() == ["recite a.long.name", "halt"]


@pytest.mark.parametrize("wait", [0.0, 1.5, 4.0])
def test_a_stop_leaves_whether_waking_or_failed(wait: float) -> None:
    desk = Desk()
    desk.passes(wait)
    ticket = desk.submit("halt", Lane.STOP)
    assert desk.sent[-1] == b"halt\r"
    desk.passes(1.1)
    assert desk.answers()[ticket].verdict is Verdict.UNANSWERED


def test_a_stop_is_offered_even_after_the_port_went_away(desk: Desk) -> None:
    bulk = desk.submit("plate")
    desk.talk.lost()
    late = desk.submit("state")
    desk.submit("halt", Lane.STOP)
    assert desk.stands(Phase.LOST)
    assert desk.sent[-1] == b"halt\r"
    assert desk.answers()[bulk].verdict is Verdict.UNANSWERED
    assert desk.answers()[late].remark == Phase.LOST.value


def test_a_stop_answered_while_failed_is_an_answer(desk: Desk) -> None:
    desk.submit("plate")
    desk.passes(5)
    ticket = desk.submit("halt", Lane.STOP)
    desk.says(b"\r\n@ " + answer_to("halt"))
    assert desk.stands(Phase.FAILED)
    assert desk.answers()[ticket].trusted


# Lanes and window


def test_the_newest_line_of_a_live_slot_wins(desk: Desk) -> None:
    desk.submit("p1 1500", Lane.LIVE, "p1")
    old = desk.submit("p1 1510", Lane.LIVE, "p1")
    desk.submit("p1 1520", Lane.LIVE, "p1")
    assert Replaced(old) in desk.events
    desk.says(answer_to("p1 1500"))
    assert desk.lines_sent() == ["p1 1500", "p1 1520"]


def test_a_waiting_watch_is_replaced(desk: Desk) -> None:
    desk.submit("state", Lane.WATCH)
    old = desk.submit("state", Lane.WATCH)
    desk.submit("state", Lane.WATCH)
    assert desk.lines_sent() == ["state"]
    assert [e for e in desk.events if isinstance(e, Replaced)] == [Replaced(old)]


def test_bulk_rests_behind_live_lines(desk: Desk) -> None:
    desk.submit("plate")
    desk.submit("recite a")
    desk.submit("p1 1500", Lane.LIVE, "p1")
    desk.says(answer_to("plate"))
    assert desk.lines_sent()[:2] == ["plate", "p1 1500"]


def test_nothing_is_in_flight_before_or_during_one_that_is_alone(desk: Desk) -> None:
    desk.submit("plate")
    desk.says(answer_to("plate"))
    desk.submit("a")
    desk.order(command("keep", alone=True))
    desk.submit("b")
    assert desk.lines_sent() == ["plate", "a"]
    desk.says(answer_to("a"))
    assert desk.lines_sent() == ["plate", "a", "keep"]
    desk.says(answer_to("keep"))
    assert desk.lines_sent() == ["plate", "a", "keep", "b"]


def test_a_paced_wire_is_never_given_more_than_the_lead(desk: Desk) -> None:
    speed = baud(1200)
    desk = Desk(replace(MANNER, window_bytes=400), speed=speed).ready()
    desk.submit("p" * 80)
    desk.passes(0.7)
    desk.says(answer_to("p" * 80))
    for n in range(10):
        desk.submit(f"recite {n}")
    desk.passes(0.9)
    free_at = Seconds(0)
    for out, at in zip(desk.sent, desk.sent_at, strict=True):
        assert at >= free_at - LEAD - 1e-9
        free_at = Seconds(max(at, free_at) + wire_time(len(out), speed))
    assert len(desk.sent) == 11

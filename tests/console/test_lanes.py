from dataclasses import replace
from itertools import count

import pytest

from benchlink.console.lanes import Lane, Lanes, Pending
from benchlink.console.window import Window
from benchlink.units import Seconds
from tests.console.talking import command
from tests.support.permits import granted

TICKETS = count(1)


def pending(lane: Lane, line: str, *, alone: bool = False) -> Pending:
    data = f"{line}\r".encode()
    return Pending(next(TICKETS), lane, command(line, alone=alone), data)


@pytest.fixture
def lanes() -> Lanes:
    return Lanes()


@pytest.fixture
def wide() -> Window:
    window = Window(200)
    window.answered(100, trusted=True)
    return window


def test_stops_leave_in_order_and_by_their_own_door(lanes: Lanes, wide: Window) -> None:
    first, second = pending(Lane.STOP, "halt"), pending(Lane.STOP, "halt")
    lanes.push(first)
    lanes.push(second)
    assert lanes.next((), wide) is None
    assert [lanes.next_stop(), lanes.next_stop(), lanes.next_stop()] == [
        first,
        second,
        None,
    ]


def test_the_newest_live_line_of_a_slot_replaces_the_older(
    lanes: Lanes, wide: Window
) -> None:
    old, new = pending(Lane.LIVE, "p1 1500"), pending(Lane.LIVE, "p1 1510")
    assert lanes.push(old, "p1") is None
    assert lanes.push(new, "p1") is old
    assert lanes.next((), wide) is new
    assert lanes.next((), wide) is None


def test_live_slots_take_turns_with_one_in_flight(lanes: Lanes, wide: Window) -> None:
    left, right = pending(Lane.LIVE, "p1 1500"), pending(Lane.LIVE, "p2 1500")
    lanes.push(left, "p1")
    lanes.push(right, "p2")
    assert lanes.next((), wide) is left
    lanes.push(pending(Lane.LIVE, "p1 1510"), "p1")
    assert lanes.next((left,), wide) is None
    assert lanes.next((), wide) is right


def test_a_newer_watch_replaces_the_waiting_one_and_one_is_in_flight(
    lanes: Lanes, wide: Window
) -> None:
    old, new = pending(Lane.WATCH, "state"), pending(Lane.WATCH, "state")
    lanes.push(old)
    assert lanes.push(new) is old
    assert lanes.next((old,), wide) is None
    assert lanes.next((), wide) is new


def test_bulk_rests_while_live_waits(lanes: Lanes, wide: Window) -> None:
    bulk, live = pending(Lane.BULK, "recite"), pending(Lane.LIVE, "p1 1500")
    flying = pending(Lane.LIVE, "p1 1490")
    lanes.push(bulk)
    lanes.push(live, "p1")
    assert lanes.next((flying,), wide) is None
    assert lanes.next((), wide) is live
    assert lanes.next((live,), wide) is bulk


def test_bulk_goes_in_order_and_only_through_the_window(lanes: Lanes) -> None:
    window = Window(200)
    first, second = pending(Lane.BULK, "plate"), pending(Lane.BULK, "state")
    lanes.push(first)
    lanes.push(second)
    assert lanes.next((), window) is first
    window.sent(len(first.data))
    assert lanes.next((first,), window) is None
    window.answered(len(first.data), trusted=True)
    assert lanes.next((), window) is second


@pytest.mark.parametrize("lane", [Lane.LIVE, Lane.WATCH, Lane.BULK])
def test_alone_waits_until_nothing_is_unanswered(
    lanes: Lanes, wide: Window, lane: Lane
) -> None:
    keep = pending(lane, "keep", alone=True)
    lanes.push(keep, "slot")
    wide.sent(6)
    assert lanes.next((pending(Lane.BULK, "plate"),), wide) is None
    wide.emptied()
    assert lanes.next((), wide) is keep


@pytest.mark.parametrize("lane", [Lane.LIVE, Lane.WATCH, Lane.BULK])
def test_nothing_but_a_stop_leaves_beside_one_that_is_alone(
    lanes: Lanes, wide: Window, lane: Lane
) -> None:
    keep, stop = pending(Lane.BULK, "keep", alone=True), pending(Lane.STOP, "halt")
    lanes.push(pending(lane, "plate"), "slot")
    lanes.push(stop)
    assert lanes.next((keep,), wide) is None
    assert lanes.next_stop() is stop


def test_dropping_what_passes_keeps_bulk_and_stops(lanes: Lanes, wide: Window) -> None:
    bulk, stop = pending(Lane.BULK, "plate"), pending(Lane.STOP, "halt")
    live, watch = pending(Lane.LIVE, "p1 1500"), pending(Lane.WATCH, "state")
    for one in (bulk, stop, live, watch):
        lanes.push(one, "slot")
    assert set(lanes.drop_passing()) == {live, watch}
    assert lanes.next((), wide) is bulk
    assert lanes.next_stop() is stop


def test_dropping_all_still_keeps_the_stops(lanes: Lanes, wide: Window) -> None:
    stop, bulk = pending(Lane.STOP, "halt"), pending(Lane.BULK, "plate")
    again = replace(bulk, ticket=next(TICKETS))
    for one in (stop, bulk, again):
        lanes.push(one)
    assert lanes.drop_all() == (bulk, again)
    assert lanes.next((), wide) is None
    assert lanes.next_stop() is stop


def test_dropping_what_moves_keeps_the_rest_in_its_order(
    lanes: Lanes, wide: Window
) -> None:
    first, last = pending(Lane.BULK, "plate"), pending(Lane.BULK, "state")
    plain, stop = pending(Lane.BULK, "spin"), pending(Lane.STOP, "halt")
    given = granted(plain.data, 1, Seconds(5.0), run_for=Seconds(0.5))
    moving = replace(plain, command=replace(plain.command, permit=given))
    for one in (first, moving, stop, last):
        lanes.push(one)
    assert lanes.drop_permitted() == (moving,)
    assert lanes.drop_permitted() == ()
    assert [lanes.next((), wide), lanes.next((), wide)] == [first, last]
    assert lanes.next((), wide) is None
    assert lanes.next_stop() is stop

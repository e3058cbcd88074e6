"""A board that is in the middle of something when it is found."""

from dataclasses import replace

import pytest

from benchlink.console.description import Manner, Wake
from benchlink.console.events import StillTalking
from benchlink.console.phases import Phase
from benchlink.console.template import template
from benchlink.console.waking import AMID_CHATTER, LONGEST_TALK, QUIET
from benchlink.units import Seconds
from tests.console.talking import MANNER, Desk
from tests.console.test_starting_boards import SILENT


def lists(desk: Desk, seconds: float, every: float = 0.1) -> None:
    for n in range(round(seconds / every)):
        desk.says(b"reed.%d: 1500\r\n" % n)
        desk.passes(every)


@pytest.mark.parametrize("manner", [MANNER, SILENT])
def test_a_listing_is_waited_for_with_one_wake(manner: Manner) -> None:
    desk = Desk(manner)
    lists(desk, 40)
    assert len(desk.sent) == 1
    assert desk.stands(Phase.WAKING)
    desk.passes(QUIET + 0.3)
    assert len(desk.sent) >= 2
    desk.says(b"gull no. 7\r\n" if manner is SILENT else b"\r\n@ ")
    desk.passes(0.2)
    assert desk.stands(Phase.READY)


def test_the_person_is_told_once() -> None:
    desk = Desk()
    lists(desk, MANNER.patience - 0.2)
    assert not desk.took(StillTalking)
    lists(desk, 20)
    assert desk.events.count(StillTalking()) == 1


def test_a_listing_without_an_end_is_given_up() -> None:
    desk = Desk()
    lists(desk, LONGEST_TALK + 1)
    assert desk.silent


def test_one_that_stops_without_a_prompt_is_given_up_soon() -> None:
    desk = Desk()
    lists(desk, 10)
    desk.passes(MANNER.patience + 0.1)
    assert desk.silent


def test_a_console_that_answers_each_wake_is_not_waited_for() -> None:
    desk = Desk(replace(MANNER, wake=Wake.LINE_END))
    while desk.now < 100 + MANNER.patience + 0.1:
        sent = len(desk.sent)
        desk.passes(0.05)
        if len(desk.sent) > sent:
            desk.says(b"\r\nno such word\r\n$ ")
    assert desk.silent
    assert not desk.took(StillTalking)


def test_noise_is_no_talk() -> None:
    desk = Desk()
    for _ in range(40):
        desk.says(b"\xfe\x80\x1f\xff\n")
        desk.passes(0.1)
    assert desk.silent


def test_chatter_does_not_keep_a_wake_away() -> None:
    desk = Desk(replace(MANNER, chatter=(template("radio {state}"),)))
    for _ in range(round(AMID_CHATTER / 0.2) + 2):
        desk.says(b"radio waits\r\n")
        desk.passes(0.2)
    assert len(desk.sent) == 2


def test_a_ready_board_that_is_doubted_has_its_patience_and_no_more() -> None:
    desk = Desk().ready()
    desk.submit("plate")
    desk.passes(1.1)
    lists(desk, Seconds(MANNER.patience + 0.1))
    assert desk.silent

"""A bare line at a real pty: all bytes both ways, and an end of the waiting."""

import os
import pty
import tty
from collections.abc import Iterator
from typing import final

import pytest

from benchlink.errors import PortLostError
from benchlink.link.bare_line import LONGEST, BareLine
from benchlink.link.clock import Clock
from benchlink.link.tally import OVERHEARD_BYTES, Tally
from benchlink.link.wire import open_wire
from benchlink.units import Baud, Seconds


@final
class Hurry:
    """A clock that runs ahead: a silence is over at the second look."""

    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> Seconds:
        self.now += 0.3
        return Seconds(self.now)


@final
class Room:
    def __init__(self, clock: Clock) -> None:
        self.board, slave = pty.openpty()
        tty.setraw(slave)
        url = os.ttyname(slave)
        self.wire = open_wire(url, Baud(115_200))
        self.line = BareLine(self.wire, clock)
        os.close(slave)
        self.heard = b""

    def hear(self) -> None:
        self.heard += self.line.overheard()


@pytest.fixture
def room() -> Iterator[Room]:
    room = Room(Hurry())
    yield room
    room.wire.close()
    os.close(room.board)


def test_bytes_leave_as_they_stand_and_what_comes_back_is_heard(room: Room) -> None:
    os.write(room.board, b"type wader\r\n")
    room.line.say(b"plate\r", room.hear)
    assert os.read(room.board, 100) == b"plate\r"
    assert room.heard == b"type wader\r\n"


def test_a_board_that_says_nothing_is_not_waited_for_long(room: Room) -> None:
    room.line.say(b"plate\r", room.hear)
    assert room.heard == b""


def test_a_board_that_goes_on_talking_is_left_talking() -> None:
    clock = Hurry()
    room = Room(clock)

    def hear() -> None:
        room.hear()
        os.write(room.board, b".")

    os.write(room.board, b".")
    room.line.say(b"plate\r", hear)
    assert LONGEST <= clock.now < 2 * LONGEST
    room.wire.close()
    os.close(room.board)


def test_a_port_that_goes_away_is_told() -> None:
    room = Room(Hurry())
    os.close(room.board)
    with pytest.raises(PortLostError):
        room.line.overheard()
    room.wire.close()


def test_whoever_listens_along_gets_the_newest_and_nothing_from_before() -> None:
    tally = Tally()
    tally.hear(b"before")
    assert tally.overheard() == b""
    tally.hear(b"type ")
    tally.hear(b"wader")
    assert tally.overheard() == b"type wader"
    assert tally.overheard() == b""
    tally.hear(b"x" * OVERHEARD_BYTES)
    tally.hear(b"newest")
    heard = tally.overheard()
    assert len(heard) == OVERHEARD_BYTES
    assert heard.endswith(b"newest")
    assert tally.received == 22 + OVERHEARD_BYTES

"""What is written to a terminal: never waited for, in order, and given up in time."""

import fcntl
import os
import time
from collections.abc import Iterator
from typing import Final, final

import pytest

from benchlink.faces.screen.threads.output import PATIENCE, STALLED_AFTER, Output
from benchlink.units import Seconds

WITHIN_S: Final = 10.0
MUCH: Final = 1_000_000
"""More than any pipe holds."""


@final
class Pipe:
    def __init__(self) -> None:
        self.far, self.near = os.pipe()
        self.late_s = 0.0
        self.output = Output(self.near, self.clock)

    def clock(self) -> Seconds:
        """That of the machine; the test may put it on."""
        return Seconds(time.monotonic() + self.late_s)

    def stalled(self) -> bool:
        return self.output.stalled

    def read(self, size: int) -> bytes:
        told = b""
        while len(told) < size:
            told += os.read(self.far, size - len(told))
        return told


@pytest.fixture
def pipe() -> Iterator[Pipe]:
    made = Pipe()
    yield made
    # Whoever still waits for room is let go of before the other end is.
    os.close(made.far)
    made.output.finish()
    os.close(made.near)


def test_all_of_it_comes_in_order(pipe: Pipe) -> None:
    for number in range(1000):
        pipe.output.write(f"{number} ".encode())
    whole = " ".join(map(str, range(1000))).encode() + b" "
    assert pipe.output.finish()
    assert pipe.read(len(whole)) == whole
    assert pipe.output.waiting == 0


def test_nobody_waits_for_one_that_takes_nothing_not_even_at_the_end(
    pipe: Pipe,
) -> None:
    began = time.monotonic()
    for _ in range(100):
        pipe.output.write(b"x" * (MUCH // 100))
    assert not pipe.output.finish()
    assert time.monotonic() - began < 4 * PATIENCE
    assert pipe.output.waiting > 0


def test_it_is_stalled_when_it_has_taken_nothing_for_long(pipe: Pipe) -> None:
    def stalled() -> bool:
        return pipe.stalled()

    pipe.late_s = STALLED_AFTER + 1.0
    assert not stalled()
    pipe.output.write(b"x" * MUCH)
    assert not stalled()
    pipe.late_s *= 2
    assert stalled()
    pipe.read(MUCH)
    assert pipe.output.finish()
    assert not stalled()


def test_nothing_is_kept_for_one_that_is_gone(pipe: Pipe) -> None:
    pipe.output.write(b"x" * MUCH)
    os.close(pipe.far)
    by = time.monotonic() + WITHIN_S
    while pipe.output.waiting:
        assert time.monotonic() < by
    assert pipe.output.broken
    pipe.output.write(b"y")
    assert pipe.output.waiting == 0
    assert not pipe.output.finish()
    pipe.far = os.open(os.devnull, os.O_RDONLY)


def test_one_that_was_made_not_to_wait_by_somebody_else_is_written_to_all_the_same(
    pipe: Pipe,
) -> None:
    flags = fcntl.fcntl(pipe.near, fcntl.F_GETFL)
    fcntl.fcntl(pipe.near, fcntl.F_SETFL, flags | os.O_NONBLOCK)
    pipe.output.write(b"x" * MUCH)
    assert pipe.read(MUCH) == b"x" * MUCH
    assert pipe.output.finish()

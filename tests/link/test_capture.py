"""Every byte of a board that nobody has described."""

from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager

from benchlink.link.capture import Captured, Ending, capture
from benchlink.link.wire import open_wire
from benchlink.units import Baud, Seconds
from tests.link.far_end import FarEnd, clock, pty_end


@contextmanager
def capturing(
    quiet: float, longest: float, first: float = 9
) -> Iterator[tuple[FarEnd, Future[Captured]]]:
    with pty_end() as end, ThreadPoolExecutor(1) as others:
        wire = open_wire(end.url, Baud(115200))
        try:
            yield (
                end,
                others.submit(
                    capture,
                    wire,
                    b"list\r",
                    quiet=Seconds(quiet),
                    first=Seconds(first),
                    longest=Seconds(longest),
                    clock=clock,
                ),
            )
            others.shutdown()
        finally:
            wire.close()


def test_everything_is_kept_until_the_board_falls_quiet() -> None:
    with capturing(quiet=0.2, longest=9) as (end, kept):
        assert end.hear(b"\r") == b"list\r"
        end.say(b"list\r\n\xff\x00gain 4")
        end.say(b"0\r\n> ")
        whole = b"list\r\n\xff\x00gain 40\r\n> "

        assert kept.result() == Captured(data=whole, ending=Ending.QUIET)


def test_a_board_that_never_falls_quiet_is_cut_off_and_said_so() -> None:
    with capturing(quiet=9, longest=0.1) as (end, kept):
        end.hear(b"\r")
        end.say(b"tick")

        assert kept.result() == Captured(data=b"tick", ending=Ending.TOO_LONG)


def test_nothing_at_all_is_not_mistaken_for_a_short_answer() -> None:
    with capturing(quiet=0.01, longest=60, first=0.1) as (_, kept):
        assert kept.result() == Captured(data=b"", ending=Ending.NOTHING)


def test_a_pulled_cable_keeps_what_came_before() -> None:
    with capturing(quiet=9, longest=9) as (end, kept):
        end.hear(b"\r")
        end.unplug()

        assert kept.result().ending is Ending.LOST

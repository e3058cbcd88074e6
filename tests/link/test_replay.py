"""A recording that plays the board: strict, in its order, and without a clock."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, closing
from datetime import UTC, datetime

import pytest

from benchlink.core.exchange import Verdict
from benchlink.errors import NoPortError, PortLostError, ReplayError
from benchlink.link.ports import PortIdentity
from benchlink.link.pump import Pump
from benchlink.link.recording_text import (
    Ending,
    Entry,
    Happening,
    Heading,
    Mark,
    Recording,
    Spoken,
    Way,
)
from benchlink.link.replay import Replay, board_text, replay_of
from benchlink.link.replay_wire import ReplayWire
from benchlink.units import Seconds
from tests.link.fake_talk import FakeTalk, command
from tests.link.far_end import WITHIN_S, clock, open_things

DEVICE = PortIdentity(url="replay://marsh.jsonl")
OPENED, REOPENED = (
    Mark(at_ms=0.0, what=what) for what in (Happening.OPENED, Happening.REOPENED)
)
LOST = Mark(at_ms=0.0, what=Happening.LOST)


def sent(data: bytes) -> Entry:
    return Spoken(0.0, Way.SENT, data)


def heard(data: bytes) -> Entry:
    return Spoken(0.0, Way.HEARD, data)


def recording(
    entries: Sequence[Entry], ending: Ending | None = Ending.COMPLETE
) -> Recording:
    heading = Heading(
        version="0.1.0",
        port="/dev/ttyACM0",
        kind="tty",
        speed=115200,
        started=datetime(2026, 3, 1, tzinfo=UTC),
        told={"user": "bench"},
        withheld=("word",),
    )
    return Recording(heading=heading, entries=tuple(entries), ending=ending)


def replay(*entries: Entry, ending: Ending | None = Ending.COMPLETE) -> Replay:
    return Replay(recording(entries, ending), "marsh.jsonl")


Open = Callable[[Replay], ReplayWire]


@pytest.fixture
def opened() -> Iterator[Open]:
    """Opens a replay's next wire, closed after the test."""
    with ExitStack() as stack:
        yield lambda played: stack.enter_context(closing(played.open(DEVICE)))


def said(wire: ReplayWire) -> list[bytes]:
    found: list[bytes] = []
    while data := wire.read_ready():
        found.append(data)
    return found


def test_what_was_said_comes_after_the_same_bytes_in_the_same_chunks(
    opened: Open,
) -> None:
    board = opened(
        replay(
            OPENED,
            heard(b"hello"),
            sent(b"a\r"),
            heard(b"on"),
            heard(b"e"),
            sent(b"b\r"),
        )
    )

    assert said(board) == [b"hello"]
    assert board.write(b"a\r") == 2
    assert said(board) == [b"on", b"e"]
    assert said(board) == []


def test_chunks_of_what_is_sent_do_not_matter(opened: Open) -> None:
    board = opened(replay(OPENED, sent(b"ab"), sent(b"c\r"), heard(b"x")))
    for piece in (b"a", b"bc"):
        board.write(piece)
        assert said(board) == []
    board.write(b"\r")

    assert said(board) == [b"x"]


def test_what_was_sent_later_may_come_earlier(opened: Open) -> None:
    board = opened(
        replay(OPENED, sent(b"a\r"), heard(b"one"), sent(b"b\r"), heard(b"two"))
    )
    board.write(b"a\rb\r")

    assert said(board) == [b"one", b"two"]


def test_another_line_is_told_with_its_entry_and_both_lines(opened: Open) -> None:
    board = opened(replay(OPENED, sent(b"a\r"), heard(b"one"), sent(b"list\r")))
    board.write(b"a\r")
    with pytest.raises(ReplayError, match="entry 4") as refused:
        board.write(b"lisp\r")

    assert refused.value.details == (
        r'recorded: "list\r"',
        r'sent:     "lisp\r"',
    )


@pytest.mark.parametrize(
    ("ending", "why"),
    [
        (Ending.COMPLETE, "it ends with entry 2, and nothing more was sent"),
        (Ending.LIMIT, "it reached its limit of size at entry 2"),
        (None, "it is cut off after entry 2"),
    ],
)
def test_behind_its_end_it_says_why_it_ends(
    opened: Open, ending: Ending | None, why: str
) -> None:
    board = opened(replay(OPENED, sent(b"a\r"), ending=ending))
    board.write(b"a\r")
    with pytest.raises(ReplayError) as refused:
        board.write(b"b\r")

    assert why in str(refused.value)


def test_a_port_that_was_lost_is_lost_again_and_the_next_opening_goes_on(
    opened: Open,
) -> None:
    played = replay(OPENED, sent(b"a"), heard(b"one"), LOST, REOPENED, heard(b"two"))
    first = opened(played)
    assert said(first) == []
    first.write(b"a")
    assert first.read_ready() == b"one"
    with pytest.raises(PortLostError):
        first.read_ready()

    assert said(opened(played)) == [b"two"]
    with pytest.raises(NoPortError, match="not opened again"):
        opened(played)


def test_more_than_was_sent_on_a_wire_is_refused_on_that_wire(opened: Open) -> None:
    played = replay(OPENED, sent(b"a"), LOST, REOPENED, sent(b"b"))
    first = opened(played)
    with pytest.raises(ReplayError, match="on that wire after entry 3"):
        first.write(b"ab")


def test_the_pump_asks_it_like_any_board(opened: Open) -> None:
    played = opened(
        replay(
            OPENED,
            heard(b"ready\n"),
            sent(b"list\n"),
            heard(b"gain 4\n"),
            heard(b"ok\n"),
        )
    )
    with Pump(played, FakeTalk(ready=False), clock) as pump:
        assert pump.wait_ready(Seconds(WITHIN_S))
        (answer,) = pump.ask([command("list")])
        with pytest.raises(ReplayError) as refused:
            pump.ask([command("write")])

    assert (answer.verdict, answer.lines) == (Verdict.OK, ("gain 4",))
    assert refused.value.details[-1] == r'sent:     "write\n"'


def test_secrets_are_told_as_they_stand_in_the_recording() -> None:
    assert replay(OPENED).told() == {"user": "bench", "word": "<word withheld>"}


def test_the_boards_own_text_begins_a_line_at_each_opening() -> None:
    told = recording([OPENED, heard(b"a\r\n@ "), sent(b"x"), REOPENED, heard(b"b")])

    assert board_text(told) == b"a\r\n@ \r\nb"


@pytest.mark.parametrize("url", ["/dev/ttyACM0", "socket://127.0.0.1:4001"])
def test_other_addresses_are_no_recordings(url: str) -> None:
    assert replay_of(url) is None


def test_a_replay_leaves_no_descriptor_behind(opened: Open) -> None:
    before = open_things()
    board = opened(replay(OPENED, heard(b"x")))
    board.close()
    board.close()

    assert open_things() == before

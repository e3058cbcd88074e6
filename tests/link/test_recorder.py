"""A recorder over real wires: exact, never in the way, and honest about its end."""

import resource
import select
import threading
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from datetime import UTC, datetime
from pathlib import Path

import pytest

from benchlink.errors import FileError, PortLostError
from benchlink.link.recorder import Recorder, require_new
from benchlink.link.recording_reader import load
from benchlink.link.recording_text import (
    Ending,
    Happening,
    Heading,
    Mark,
    Recording,
    Spoken,
    Way,
)
from benchlink.link.wire import Wire, open_wire
from benchlink.units import Baud, Seconds
from tests.link.far_end import WITHIN_S, FarEnd, open_things, pty_end

SPEED = Baud(115200)
HEADING = Heading(
    version="0.1.0",
    port="/dev/ttyACM0",
    kind="tty",
    speed=SPEED,
    started=datetime(2026, 3, 1, tzinfo=UTC),
)


class Clock:
    now = 100.0

    def __call__(self) -> Seconds:
        self.now += 0.0015
        return Seconds(self.now)


class Desk:
    """A recording under way, and what was told about it."""

    def __init__(self, folder: Path, stack: ExitStack) -> None:
        self.path = folder / "marsh.jsonl"
        self.told: list[str] = []
        self._stack = stack

    def recorder(
        self, limit_bytes: int = 1 << 20, secrets: dict[str, str] | None = None
    ) -> Recorder:
        recorder = Recorder(
            self.path,
            HEADING,
            clock=Clock(),
            tell=self.told.append,
            secrets=secrets,
            limit_bytes=limit_bytes,
        )
        self._stack.callback(recorder.close)
        return recorder

    def wire(self, recorder: Recorder) -> tuple[Wire, FarEnd]:
        end = self._stack.enter_context(pty_end())
        wire = recorder.over(open_wire(end.url, SPEED))
        self._stack.callback(wire.close)
        return wire, end

    def read(self) -> Recording:
        return load(self.path)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with ExitStack() as stack:
        yield Desk(tmp_path, stack)


def hear(wire: Wire) -> bytes:
    assert select.select([wire], [], [], WITHIN_S)[0]
    return wire.read_ready()


def test_bytes_both_ways_stand_in_their_order_with_their_time(desk: Desk) -> None:
    recorder = desk.recorder()
    wire, end = desk.wire(recorder)
    wire.write(b"about\r")
    end.say(b"wader\r\n\xff@ ")
    hear(wire)
    recorder.restarted(2)
    recorder.close()

    opened, sent, heard, restarted = desk.read().entries
    assert opened == Mark(at_ms=1.5, what=Happening.OPENED, port=end.url)
    assert sent == Spoken(3.0, Way.SENT, b"about\r")
    assert heard == Spoken(4.5, Way.HEARD, b"wader\r\n\xff@ ")
    assert restarted == Mark(at_ms=6.0, what=Happening.RESTARTED, epoch=2)
    assert desk.read().ending is Ending.COMPLETE
    assert desk.told == []


def test_a_lost_and_another_wire_are_marked(desk: Desk) -> None:
    recorder = desk.recorder()
    wire, end = desk.wire(recorder)
    end.unplug()
    for _ in range(2):
        with pytest.raises(PortLostError):
            hear(wire)
    _, other = desk.wire(recorder)
    recorder.close()

    marks = [one for one in desk.read().entries if isinstance(one, Mark)]
    assert [(mark.what, mark.port) for mark in marks] == [
        (Happening.OPENED, end.url),
        (Happening.LOST, end.url),
        (Happening.REOPENED, other.url),
    ]


def test_only_what_the_system_took_counts_as_sent(desk: Desk) -> None:
    recorder = desk.recorder(limit_bytes=32 << 20)
    wire, _ = desk.wire(recorder)
    taken = [wire.write(bytes(1 << 20)) for _ in range(3)]
    recorder.close()

    sent = [len(one.data) for one in desk.read().entries if isinstance(one, Spoken)]
    assert sent == [count for count in taken if count]


def test_a_secret_is_in_no_byte_of_the_file(desk: Desk) -> None:
    recorder = desk.recorder(secrets={"word": "marsh reed"})
    wire, end = desk.wire(recorder)
    wire.write(b"marsh r")
    wire.write(b"eed\r")
    for piece in (b"mar", b"sh reed", b"\r\nwelcome marsh ree"):
        end.say(piece)
        hear(wire)
    recorder.close()

    spoken = [one for one in desk.read().entries if isinstance(one, Spoken)]
    assert [one.data for one in spoken] == [
        b"<word withheld>",
        b"\r",
        b"<word withheld>",
        b"\r\nwelcome <word withheld>",
    ]
    assert b"ree" not in desk.path.read_bytes()
    assert b'"withheld": 3' in desk.path.read_bytes()


def test_what_waits_for_the_rest_of_a_secret_keeps_its_place(desk: Desk) -> None:
    recorder = desk.recorder(secrets={"word": "$x"})
    wire, end = desk.wire(recorder)
    end.say(b"view$")
    hear(wire)
    wire.write(b"about\r")
    end.say(b" ok")
    hear(wire)
    recorder.close()

    spoken = [one.data for one in desk.read().entries if isinstance(one, Spoken)]
    assert spoken == [b"view$", b"about\r", b" ok"]


def test_at_its_limit_the_recording_ends_whole_and_the_wire_goes_on(desk: Desk) -> None:
    recorder = desk.recorder(limit_bytes=2048)
    wire, end = desk.wire(recorder)
    for _ in range(100):
        wire.write(b"recite tilt.left.centre_us\r")
        end.hear(b"\r")
    recorder.close()

    assert desk.path.stat().st_size <= 2048
    assert desk.read().ending is Ending.LIMIT
    assert desk.read().entries
    assert len(desk.told) == 1
    assert "limit" in desk.told[0]
    assert "All else goes on" in desk.told[0]


@contextmanager
def files_up_to(size: int) -> Iterator[None]:
    """A disk with room for that many bytes a file; ptys are none."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


def test_a_full_disk_ends_the_recording_and_not_the_wire(desk: Desk) -> None:
    recorder = desk.recorder()
    wire, end = desk.wire(recorder)
    with files_up_to(desk.path.stat().st_size + 130):
        wire.write(b"about\r")
        recorder.close()
        wire.write(b"state\r")

    assert end.hear(b"state\r") == b"about\rstate\r"
    assert desk.told == [
        f"The recording {desk.path} ends here: File too large. All else goes on."
    ]
    assert desk.read().ending is None
    assert [type(one) for one in desk.read().entries] == [Mark, Spoken]


def test_a_disk_without_room_for_the_heading_is_said_before_anything_opens(
    desk: Desk,
) -> None:
    with files_up_to(10), pytest.raises(FileError, match="cannot be written"):
        desk.recorder()

    assert not desk.path.exists()


def test_a_file_that_is_there_is_never_touched(desk: Desk) -> None:
    desk.path.write_text("mine")

    with pytest.raises(FileError, match="is there already"):
        desk.recorder()
    with pytest.raises(FileError, match="is there already"):
        require_new(desk.path)

    assert desk.path.read_text() == "mine"


def test_a_folder_that_is_missing_is_said_before_anything_opens(desk: Desk) -> None:
    desk.path = desk.path.parent / "nowhere" / "marsh.jsonl"

    with pytest.raises(FileError, match="cannot be written"):
        desk.recorder()


def test_where_no_port_opened_no_file_is_left(desk: Desk) -> None:
    desk.recorder().close()

    assert not desk.path.exists()
    assert desk.told == []


def test_what_was_noted_is_in_the_file_soon_without_an_end(desk: Desk) -> None:
    recorder = desk.recorder()
    wire, _ = desk.wire(recorder)
    wire.write(b"about\r")

    pause = threading.Event()
    for _ in range(int(WITHIN_S / 0.05)):
        if b"about" in desk.path.read_bytes():
            break
        pause.wait(0.05)

    assert desk.read().ending is None
    assert isinstance(desk.read().entries[-1], Spoken)


def test_a_recorder_leaves_no_descriptor_and_no_thread_behind(tmp_path: Path) -> None:
    before = open_things()
    with ExitStack() as stack:
        desk = Desk(tmp_path, stack)
        desk.wire(desk.recorder())

    assert open_things() == before

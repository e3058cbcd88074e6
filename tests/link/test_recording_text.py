"""A recording as text: readable, exact, and never believed when it is damaged."""

import hashlib
from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.errors import FileError
from benchlink.link.recording_reader import looks_like_recording, parse, totals_of
from benchlink.link.recording_text import (
    Ending,
    Entry,
    Happening,
    Heading,
    Mark,
    Recording,
    Spoken,
    Way,
    end_line,
    entry_line,
    heading_line,
)

HEADING = Heading(
    version="0.1.0",
    port="/dev/ttyACM0",
    kind="tty",
    speed=115200,
    started=datetime(2026, 3, 1, 9, 30, tzinfo=UTC),
    console="dunlin",
    console_hash="9f",
    told={"user": "bench"},
    withheld=("word",),
)
OPENED = Mark(at_ms=0.0, what=Happening.OPENED, port="/dev/ttyACM0", speed=115200)
ENTRIES: tuple[Entry, ...] = (
    OPENED,
    Spoken(0.25, Way.SENT, b"about\r"),
    Spoken(1.5, Way.HEARD, bytes(range(256))),
    Mark(at_ms=2.0, what=Happening.RESTARTED, epoch=2),
    Mark(at_ms=3.0, what=Happening.LOST, port="/dev/ttyACM0"),
    Mark(at_ms=4.0, what=Happening.REOPENED, port="/dev/ttyACM1"),
)


def text(*entries: Entry, ending: Ending | None = Ending.COMPLETE) -> bytes:
    data = heading_line(HEADING) + b"".join(map(entry_line, entries))
    if ending is None:
        return data
    digest = hashlib.sha256(data).hexdigest()
    return data + end_line(ending, totals_of(entries, withheld=0), digest)


@pytest.mark.parametrize("ending", [*Ending, None])
def test_what_was_written_is_read(ending: Ending | None) -> None:
    read = parse(text(*ENTRIES, ending=ending), "r")

    assert read == Recording(heading=HEADING, entries=ENTRIES, ending=ending)


@given(data=st.binary(min_size=1), way=st.sampled_from(Way))
def test_every_byte_comes_back_from_printable_ascii(data: bytes, way: Way) -> None:
    line = entry_line(Spoken(1.0, way, data))

    assert all(0x20 <= byte < 0x7F for byte in line[:-1])
    assert parse(text(Spoken(1.0, way, data)), "r").entries[0] == Spoken(1.0, way, data)


def test_text_stays_readable() -> None:
    line = entry_line(Spoken(12.3456, Way.HEARD, b'craft.call: "\xff"\r\n@ '))

    assert line == rb'{"ms": 12.346, "heard": "craft.call: \"\u00ff\"\r\n@ "}' + b"\n"


def test_a_cut_off_recording_is_read_up_to_its_last_whole_line() -> None:
    whole = text(*ENTRIES, ending=None)
    for size in range(len(heading_line(HEADING)), len(whole)):
        read = parse(whole[:size], "r")

        assert read.ending is None
        assert read.entries == ENTRIES[: whole[:size].count(b"\n") - 1]


@pytest.mark.parametrize(
    ("damage", "line", "why"),
    [
        (lambda t: t.replace(b"about", b"abort"), 8, "another hash"),
        (lambda t: t.replace(b'"ms": 0.25', b'"ms": true'), 3, "`ms`"),
        (lambda t: t.replace(b'"sent"', b'"told"'), 3, "neither"),
        (lambda t: t.replace(b'"about', b'"\\u0100'), 3, "no byte"),
        (lambda t: t.replace(b'"lost"', b'"left"'), 6, "`mark`"),
        (lambda t: t.replace(b'"entries": 6', b'"entries": 5'), 8, "counts"),
        (lambda t: t.replace(b"\n", b"\nmarsh\n", 1), 2, "JSON"),
        (lambda t: t.replace(b"\n", b"\n[1]\n", 1), 2, "object"),
        (lambda t: t + b"x", 9, "behind the end"),
        (lambda t: t + b'{"ms": 1}\n', 9, "behind the end"),
        (lambda t: t.replace(b"recording", b"backup"), 1, "format 1"),
        (lambda t: t.replace(b"+00:00", b""), 1, "UTC"),
        (lambda t: t.replace(b"2026-03-01T", b"soon"), 1, "no moment"),
        (lambda t: t.replace(b'{"user": "bench"}', b"3"), 1, "`told`"),
        (lambda t: t.replace(b'["word"]', b"3"), 1, "`withheld`"),
        (lambda t: t.replace(b'"speed": 115200', b'"speed": "x"', 1), 1, "`speed`"),
        (lambda _: b"", 1, "no whole heading"),
        (lambda _: b"[" * 100_000 + b"\n", 1, "JSON"),
    ],
)
def test_a_damaged_recording_is_refused_with_its_line(
    damage: Callable[[bytes], bytes], line: int, why: str
) -> None:
    with pytest.raises(FileError) as refused:
        parse(damage(text(*ENTRIES)), "marsh.jsonl")

    assert refused.value.problems[0].place.line == line
    assert why in str(refused.value.problems[0])


def test_a_recording_is_known_by_its_first_bytes() -> None:
    assert looks_like_recording(heading_line(HEADING)[:40])
    assert not looks_like_recording(b"benchlink-backup: 1\n")

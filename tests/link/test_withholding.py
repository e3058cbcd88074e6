"""A secret leaves no trace in a recording, however the wire cuts it."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.link.recording_text import stand_in
from benchlink.link.withholding import Withholding

SECRETS = {"word": "reed", "pin": "r11"}


def through(
    withholding: Withholding, *pieces: bytes, settle: bool = True
) -> list[bytes]:
    chunks = [bytearray() for _ in pieces]
    for piece, chunk in zip(pieces, chunks, strict=True):
        withholding.feed(piece, chunk)
    if settle:
        withholding.settle()
    return [bytes(chunk) for chunk in chunks]


def cut(data: bytes, places: list[int]) -> list[bytes]:
    edges = [0, *sorted(place % (len(data) + 1) for place in places), len(data)]
    return [data[a:b] for a, b in pairwise(edges)]


@given(
    words=st.lists(st.sampled_from(["reed", "r11", "re", "r", "bench", "\r\n", "e"])),
    places=st.lists(st.integers(0, 200), max_size=12),
)
def test_chunks_together_say_the_same_however_they_are_cut(
    words: list[str], places: list[int]
) -> None:
    data = "".join(words).encode()
    whole, pieces = Withholding(SECRETS), Withholding(SECRETS)

    (expected,) = through(whole, data)
    said = b"".join(through(pieces, *cut(data, places)))

    assert said == expected
    assert b"reed" not in said
    assert b"r11" not in said
    assert whole.count == pieces.count


def test_a_secret_stands_where_it_began() -> None:
    said = through(Withholding(SECRETS), b"word: r", b"ee", b"d\r\n$ ")

    assert said == [b"word: <word withheld>", b"", b"\r\n$ "]


def test_what_only_began_like_a_secret_comes_back_to_its_chunk() -> None:
    said = through(Withholding(SECRETS), b"st", b"ar", b"e", b"ady")

    assert said == [b"st", b"ar", b"e", b"ady"]


def test_a_chunk_waits_only_while_it_may_begin_a_secret() -> None:
    withholding, first, second = Withholding(SECRETS), bytearray(), bytearray()
    withholding.feed(b"$ re", first)
    assert withholding.holds_back(first)

    withholding.feed(b"ap", second)

    assert not withholding.holds_back(first)
    assert [bytes(first), bytes(second)] == [b"$ re", b"ap"]


def test_what_a_stream_ends_with_counts_as_the_secret() -> None:
    withholding = Withholding(SECRETS)

    assert through(withholding, b"word: ree") == [b"word: <word withheld>"]
    assert withholding.count == 1


@pytest.mark.parametrize("secrets", [{}, {"word": ""}])
def test_without_a_secret_every_byte_stays(secrets: dict[str, str]) -> None:
    assert through(Withholding(secrets), b"", b"reed") == [b"", b"reed"]


@pytest.mark.parametrize("charset", ["utf-8", "latin-1"])
def test_a_secret_leaves_no_trace_in_any_charset(charset: str) -> None:
    word = "m\xfchle"
    (kept,) = through(Withholding({"word": word}), word.encode(charset) + b"\r")
    assert kept == stand_in("word").encode() + b"\r"

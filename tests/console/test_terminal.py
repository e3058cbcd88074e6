from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.console.terminal import (
    LONGEST_DRAWN,
    LONGEST_LINE,
    Line,
    Terminal,
    render,
)
from benchlink.core.stray import FIRST, shown, stray_byte
from tests.console.talking import MANY, cut_up, in_bytes

CHUNKY = st.lists(
    st.sampled_from(
        (
            *(b"a", b"\r", b"\n", b"\r\n", b"\b", b"\x1b", b"[2K", b"[3D", b"\xff"),
            *(b"\xe2\x82\xac", b"\x1b[31m", b"\x1b]0;t\x07", b"x" * 9000),
        )
    )
).map(b"".join)


def lines_of(*chunks: bytes) -> tuple[list[Line], bytes]:
    terminal = Terminal()
    lines = [line for chunk in chunks for line in terminal.feed(chunk)]
    return lines, terminal.partial_raw


@MANY
@given(CHUNKY, st.lists(st.integers(0, 30_000), max_size=5))
def test_any_way_of_cutting_gives_the_same_lines(data: bytes, cuts: list[int]) -> None:
    edges = [0, *sorted(min(c, len(data)) for c in cuts), len(data)]
    chunks = [data[a:b] for a, b in pairwise(edges)]
    whole = lines_of(data)
    assert lines_of(*chunks) == whole
    assert lines_of(*(data[i : i + 1] for i in range(len(data)))) == whole


@MANY
@given(CHUNKY)
def test_no_byte_is_dropped(data: bytes) -> None:
    lines, rest = lines_of(data)
    assert b"".join(line.raw for line in lines) + rest == data


@MANY
@given(st.binary(max_size=300))
def test_whatever_comes_shows_as_printable_text(data: bytes) -> None:
    lines, rest = lines_of(data)
    texts = [render(rest), *(line.text for line in lines)]
    assert all(
        char.isprintable() or stray_byte(char) is not None
        for text in texts
        for char in text
    )


def test_trailing_bytes_stay_for_the_next_line() -> None:
    terminal = Terminal()
    assert [line.text for line in terminal.feed(b"one\r\ntw")] == ["one"]
    assert terminal.partial == "tw"
    assert [line.text for line in terminal.feed(b"o\r\n@ ")] == ["two"]
    assert terminal.partial == "@ "
    assert terminal.partial_raw == b"@ "


def test_a_forgotten_line_leaves_nothing_behind() -> None:
    terminal = Terminal()
    terminal.feed(b"half a li")
    terminal.forget()
    assert terminal.partial == ""
    assert terminal.feed(b"ne\n") == [Line("ne", b"ne\n")]


@pytest.mark.parametrize(
    ("raw", "text"),
    [
        (b"plain", "plain"),
        (b"plain\r", "plain"),
        (b"plain\r\r", "plain"),
        (b"abc\rX", "Xbc"),
        (b"abc\b\bX", "aXc"),
        (b"\b\bX", "X"),
        (b"a\b \bb", "b"),
        (b"\x1b[31mred\x1b[0m", "red"),
        (b"\x1b[1;32mgreen", "green"),
        (b"\x1b]0;title\x07text", "text"),
        (b"\x1b]0;title\x1b\\text", "text"),
        (b"\x1b7\x1b8text", "text"),
        (b"abc\x1b[3Dx", "xbc"),
        (b"abc\x1b[Dx", "abx"),
        (b"a\x1b[3Cb", "a   b"),
        (b"abc\x1b[2Gx", "axc"),
        (b"abc\x1b[Gx", "xbc"),
        (b"abc\r\x1b[Kx", "x"),
        (b"abc\x1b[2K\rx", "x"),
        (b"abcdef\r      \rx", "x"),
        (b"abcdef\r      \rx ", "x "),
        (b"abc\r\x1b[K@ ", "@ "),
        (b"\r\x1b[K\x1b[32mview$ \x1b[0m", "view$ "),
        (b"\r\x1b[K\x1b[32mview$ \x1b[0mlist", "view$ list"),
        (b"abcd\x1b[3G\x1b[1K", "   d"),
        (b"abc\x1b[1Kd", "   d"),
        (b"abc\x1b[9Kd", "abcd"),
        (b"abc\x1b[1;2Dd", "abd"),
    ],
)
def test_a_line_shows_as_a_terminal_draws_it(raw: bytes, text: str) -> None:
    assert render(raw) == text


@pytest.mark.parametrize(
    ("raw", "overdrawn"),
    [
        (b"type\rnumber\r\n", True),
        (b"12\b4\n", True),
        (b"abc\r\x1b[1K\n", True),
        (b"abc\x1b[2K\n", True),
        (b"abc\x1b[1K\n", True),
        (b"abc\rabcd\r\n", False),
        (b"   \rabc\n", False),
        (b"\x1b[K\x1b[31mabc\n", False),
        (b"abc\x1b[K\n", False),
        (b"plain\r\n", False),
    ],
)
def test_a_line_tells_whether_text_was_drawn_over(
    raw: bytes, *, overdrawn: bool
) -> None:
    (line,) = Terminal().feed(raw)
    assert line.overdrawn is overdrawn
    assert line.raw == raw


def test_a_line_that_is_begun_anew_is_only_what_it_became() -> None:
    (line,) = Terminal().feed(b"\r\x1b[K@ li\r\x1b[K@ lis\r\x1b[K@ list\r\n")
    assert line == Line("@ list", b"\r\x1b[K@ list\r\n")


def test_a_line_repainted_for_hours_fills_no_memory() -> None:
    terminal = Terminal()
    for _ in range(3000):
        assert terminal.feed(b"\r\x1b[K@ ") == []
        assert len(terminal.partial_raw) < 20
    assert terminal.partial == "@ "


CR_BOARD = b"one\rtwo\r\rthree"


def cr_lines(*chunks: bytes) -> tuple[list[str], str]:
    terminal = Terminal(cr_ends=True)
    lines = [line.text for chunk in chunks for line in terminal.feed(chunk)]
    return lines, terminal.partial


def test_a_board_may_end_its_lines_with_a_carriage_return_alone() -> None:
    whole = cr_lines(CR_BOARD)
    assert whole == (["one", "two", ""], "three")
    assert cr_lines(*in_bytes(CR_BOARD)) == whole


@MANY
@given(st.lists(st.integers(0, len(CR_BOARD)), max_size=4))
def test_its_lines_may_be_cut_anywhere(cuts: list[int]) -> None:
    assert cr_lines(*cut_up(CR_BOARD, *cuts)) == cr_lines(CR_BOARD)


@pytest.mark.parametrize(
    ("raw", "text"),
    [
        (b"1\xff2", "1\\xff2"),
        (b"\xe2\x82", "\\xe2\\x82"),
        (b"\xc0\x80", "\\xc0\\x80"),
        (b"\xed\xa0\x80", "\\xed\\xa0\\x80"),
        (b"a\x00b\x7f", "a\\x00b\\x7f"),
        (b"a\x1b", "a\\x1b"),
        (b"\x1b[12", "\\x1b[12"),
        ("\u20ac \u00e9".encode(), "\u20ac \u00e9"),
        ("a\u202eb".encode(), "a\\xe2\\x80\\xaeb"),
        ("a\u200bb".encode(), "a\\xe2\\x80\\x8bb"),
        ("a\u0085b".encode(), "a\\xc2\\x85b"),
        ("a\u009bb".encode(), "a\\xc2\\x9bb"),
        ("a\U000e0041".encode(), "a\\xf3\\xa0\\x81\\x81"),
        (chr(FIRST).encode(), "\\xf4\\x8f\\x9c\\x80"),
    ],
)
def test_what_nobody_would_see_shows_as_an_escape(raw: bytes, text: str) -> None:
    drawn = render(raw)
    assert shown(drawn) == text
    assert drawn == text or drawn != render(text.encode())


def test_a_line_without_an_end_is_ended_by_force_and_fills_no_memory() -> None:
    terminal = Terminal()
    lines: list[Line] = []
    for _ in range(20):
        lines += terminal.feed(b"x" * 40_000)
        assert terminal.partial_size <= LONGEST_LINE
    assert [len(line.raw) for line in lines] == [LONGEST_LINE] * 6


@pytest.mark.parametrize("move", [b"C", b"D", b"G", b"K"])
@pytest.mark.parametrize("digits", [6, 5000])
def test_a_move_by_a_huge_number_stays_within_a_line(move: bytes, digits: int) -> None:
    drawn = render(b"\x1b[" + b"9" * digits + move + b"x")
    assert drawn.strip() == "x"
    assert len(drawn) <= LONGEST_DRAWN + 1

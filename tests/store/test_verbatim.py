"""A board's bytes as readable lines, without any loss."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.store.verbatim import to_bytes, to_lines


def test_each_board_line_is_one_line_with_its_own_end() -> None:
    assert to_lines(b"a: 1\r\nb\rc\n\nd") == ("a: 1\\r\\n", "b\\r", "c\\n", "\\n", "d")


@pytest.mark.parametrize(
    ("data", "line"),
    [
        (b"\x00\x1b\xff", "\\x00\\x1B\\xFF"),
        ("5 °C µs".encode(), "5 °C µs"),
        (b"a\\x41\t", "a\\\\x41\\t"),
        ("\u202e".encode(), "\\xE2\\x80\\xAE"),
        ("\u0085".encode(), "\\xC2\\x85"),
        (b"\xc2", "\\xC2"),
    ],
)
def test_only_what_nobody_could_see_is_escaped(data: bytes, line: str) -> None:
    assert to_lines(data) == (line,)
    assert to_bytes((line,)) == data


@pytest.mark.parametrize("line", ["\\q", "a\\", "\\x4", "\\xzz"])
def test_an_escape_that_means_nothing_is_an_error(line: str) -> None:
    with pytest.raises(ValueError, match="backslash"):
        to_bytes((line,))


@given(st.binary())
def test_any_bytes_come_back(data: bytes) -> None:
    assert to_bytes(to_lines(data)) == data

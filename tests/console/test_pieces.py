"""Text cut at a mark that means nothing inside quotes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.console.pieces import outside, pieces
from tests.console.talking import MANY


@pytest.mark.parametrize(
    ("text", "quote", "escape", "parts"),
    [
        ("a;b;", "", "", ["a", "b", ""]),
        ('a "x;y";b', '"', "", ['a "x;y"', "b"]),
        ('a "x"";"";y";b', '"', '"', ['a "x"";"";y"', "b"]),
        (r'a "x\";y";b', '"', "\\", [r'a "x\";y"', "b"]),
        (r'a "x\22;y";b', '"', "\\", [r'a "x\22;y"', "b"]),
        ("a <x;y>;<b>", "<>", "", ["a <x;y>", "<b>"]),
        ('a;"b;c', '"', "", ["a", '"b;c']),
    ],
)
def test_a_mark_inside_quotes_parts_nothing(
    text: str, quote: str, escape: str, parts: list[str]
) -> None:
    assert pieces(text, ";", quote, escape) == parts


def test_a_mark_may_be_several_characters() -> None:
    assert pieces('a=1 / b=" / "', " / ", '"') == ["a=1", 'b=" / "']


@MANY
@given(text=st.text('a;"\\', max_size=20))
def test_the_pieces_are_the_whole_text(text: str) -> None:
    assert ";".join(pieces(text, ";", '"', "\\")) == text


def test_what_stands_outside_quotes_has_only_the_quotes_that_open() -> None:
    assert outside('a "b;c";d', '"') == 'a ";d'
    assert outside("a;b", "") == "a;b"

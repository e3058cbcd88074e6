from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.console.codec import Codec
from benchlink.core.values import Number, Series, Switch, Text, Value, Word
from tests.console.talking import MANY

CODEC = Codec(on="yes", off="no", quote='"', escape="\\", separator=",", reserved=";")
PLAIN = st.characters(min_codepoint=32, max_codepoint=126, exclude_characters=";")
NUMBERS = st.decimals(allow_nan=False, allow_infinity=False, places=3).map(Number)
WORDS = (
    st.text("abcxyz-_.%", min_size=1)
    .map(Word)
    .filter(lambda w: CODEC.read(w.word) == w)
)
SWITCHES = st.booleans().map(Switch)
PLACES = st.one_of(NUMBERS, WORDS, SWITCHES)
SERIES = st.lists(PLACES, min_size=2, max_size=6).map(lambda v: Series(tuple(v)))
TEXTS = st.text(PLAIN).map(Text)


@MANY
@given(st.one_of(PLACES, SERIES, TEXTS))
def test_what_is_written_is_read_back_as_the_same_value(value: Value) -> None:
    assert CODEC.read(CODEC.write(value)) == value


@MANY
@given(st.one_of(st.text().map(Word), st.text().map(Text)))
def test_whatever_a_value_holds_it_is_one_plain_line_or_refused(value: Value) -> None:
    try:
        spelled = CODEC.write(value)
    except ValueError:
        return
    assert CODEC.charset.has(spelled)
    assert spelled.isprintable()
    assert ";" not in spelled


@pytest.mark.parametrize(
    ("raw", "value"),
    [
        ("yes", Switch(on=True)),
        ("no", Switch(on=False)),
        ("on", Word("on")),
        ("010", Number(Decimal(10))),
        ("-1.50", Number(Decimal("-1.5"))),
        ("1e3", Word("1e3")),
        ("nan", Word("nan")),
        ("", Word("")),
        ('""', Text("")),
        (r'"a \"b\" \\ c"', Text(r'a "b" \ c')),
        ("1,yes,up", Series((Number(Decimal(1)), Switch(on=True), Word("up")))),
        ('"a,b","c"', Series((Text("a,b"), Text("c")))),
    ],
)
def test_a_spelling_means_a_value(raw: str, value: Value) -> None:
    assert CODEC.read(raw) == value


@pytest.mark.parametrize("raw", ['"', '"a', '"a"b', '"a\\', '"a\\"', '"a" "b"'])
def test_quotes_that_do_not_pair_up_are_no_text(raw: str) -> None:
    assert CODEC.read(raw) == Word(raw)


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (Text("a\rkeep"), r"U\+000D"),
        (Text("a\nkeep"), r"U\+000A"),
        (Text("a\x15b"), r"U\+0015"),
        (Text("a\x7f"), r"U\+007F"),
        (Text("\u202e"), r"U\+202E"),
        (Text("a;keep"), "command of its own"),
        (Word("a;keep"), "command of its own"),
        (Word("\u200bb"), r"U\+200B"),
        (Word("two words"), "not one word"),
        (Word("a\tb"), "not one word"),
        (Word(""), "not one word"),
        (Word('a"b'), "open or close a text"),
        (Word('"a'), "open or close a text"),
        (Word("yes"), "would read on"),
        (Word("5"), "would read 5"),
        (Word("a,b"), "would read"),
        (Series(()), "cannot be written"),
        (Series((Number(Decimal(1)),)), "cannot be written"),
        (Series((Text("a"), Word('b"'))), "open or close a text"),
    ],
)
def test_a_value_that_the_board_would_take_otherwise_is_refused(
    value: Value, words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        CODEC.write(value)


def test_a_console_without_quotes_has_no_text() -> None:
    with pytest.raises(ValueError, match="no way to write text"):
        Codec().write(Text("a"))
    assert Codec().read('"a"') == Word('"a"')


def test_without_an_escape_a_quote_inside_text_is_refused() -> None:
    with pytest.raises(ValueError, match="cannot be written"):
        Codec(quote="'").write(Text("it's"))
    assert Codec(quote="'").write(Text("its")) == "'its'"


def test_without_a_separator_there_are_no_lists() -> None:
    assert Codec().read("1,2") == Word("1,2")
    with pytest.raises(ValueError, match="cannot be written"):
        Codec().write(Series((Number(Decimal(1)), Number(Decimal(2)))))

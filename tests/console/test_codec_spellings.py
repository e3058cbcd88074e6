"""Every way in which the language lets a console spell values."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.console.codec import Codec, Kind
from benchlink.core.values import Number, Series, Switch, Text, Unset, Value, Word
from tests.console.talking import MANY

WHOLE = st.integers(0, 2**40).map(lambda n: Number(Decimal(n)))
DECIMALS = st.decimals(-(10**9), 10**9, places=2).map(Number)
TEXTS = st.text(st.characters(min_codepoint=32, max_codepoint=126)).map(Text)


def num(text: str) -> Number:
    return Number(Decimal(text))


@MANY
@given(value=WHOLE, radix=st.sampled_from([2, 8, 10, 16]), digits=st.integers(0, 12))
def test_a_whole_number_survives_every_radix_and_padding(
    value: Number, radix: int, digits: int
) -> None:
    codec = Codec(radix=radix, digits=digits, prefix="#", suffix="h")
    spelled = codec.write(value)
    assert len(spelled) >= digits + 2
    assert codec.read(spelled) == value


@MANY
@given(value=DECIMALS, scale=st.sampled_from(["0.01", "0.1", "1", "10", "1000"]))
def test_a_scaled_number_survives(value: Number, scale: str) -> None:
    codec = Codec(scale=Decimal(scale), suffix="t")
    assert codec.read(codec.write(value)) == value


@MANY
@given(value=DECIMALS, places=st.integers(0, 4))
def test_fixed_places_write_the_same_value_or_nothing(
    value: Number, places: int
) -> None:
    codec = Codec(places=places)
    try:
        spelled = codec.write(value)
    except ValueError:
        assert round(value.value, places) != value.value or not value.value
        return
    assert codec.read(spelled) == value
    assert len(spelled.partition(".")[2]) == places


@MANY
@given(st.text("0123456789", min_size=1, max_size=60))
def test_no_digit_of_a_long_number_is_rounded(digits: str) -> None:
    for codec in (Codec(), Codec(exponents=True), Codec(places=1)):
        assert codec.read(digits) == num(digits)
        assert codec.read(codec.write(num(digits))) == num(digits)


@MANY
@given(value=TEXTS, quote=st.sampled_from(['"', "<>", "||", "'"]))
@pytest.mark.parametrize("escape", ["", "\\", "closing"])
def test_a_text_survives_its_quotes_or_is_refused(
    value: Text, quote: str, escape: str
) -> None:
    mark = quote[-1] if escape == "closing" else escape
    codec = Codec(quote=quote, escape=mark)
    try:
        spelled = codec.write(value)
    except ValueError:
        assert not mark
        assert quote[-1] in value.text
        return
    assert codec.read(spelled) == value


@MANY
@given(TEXTS)
def test_a_text_without_quotes_survives_where_the_kind_is_known(value: Text) -> None:
    codec = Codec(kind=Kind.TEXT)
    if value.text and value.text == value.text.strip():
        assert codec.read(codec.write(value)) == value
        return
    with pytest.raises(ValueError, match="ends would be lost"):
        codec.write(value)


@pytest.mark.parametrize(
    ("codec", "raw", "value"),
    [
        (Codec(radix=16, prefix="0x"), "0x060E", num("1550")),
        (Codec(radix=16, prefix="0x"), "0x60e", num("1550")),
        (Codec(radix=16, prefix="0x"), "0x", Word("0x")),
        (Codec(radix=16, prefix="0x"), "0x-5", Word("0x-5")),
        (Codec(radix=16, prefix="0x"), "0x1_0", Word("0x1_0")),
        (Codec(radix=16, prefix="0x"), "60E", Word("60E")),
        (Codec(radix=2), "102", Word("102")),
        (Codec(radix=8), "\uff18", Word("\uff18")),
        (Codec(scale=Decimal("0.1"), suffix="t"), "-15t", num("-1.5")),
        (Codec(scale=Decimal("0.1"), suffix="t"), "15", Word("15")),
        (Codec(scale=Decimal("0.1"), suffix="t"), "t", Word("t")),
        (Codec(digits=4), "0055", num("55")),
        (Codec(exponents=True), "+1.20000E+00", num("1.2")),
        (Codec(exponents=True), "1.5e-3", num("0.0015")),
        (Codec(exponents=True), "1512", num("1512")),
        (Codec(exponents=True), "1E+-5", Word("1E+-5")),
        (Codec(exponents=True), "1E", Word("1E")),
        (Codec(exponents=True), "E5", Word("E5")),
        (Codec(exponents=True), "1E999", Word("1E999")),
        (Codec(), "1.5E+01", Word("1.5E+01")),
        (Codec(words={"never": "0"}), "never", num("0")),
        (Codec(words={"never": "0"}), "0", num("0")),
        (Codec(unset="-"), "-", Unset()),
        (Codec(unset="-"), "-5", num("-5")),
        (Codec(unset=""), "", Unset()),
        (Codec(kind=Kind.WORD), "010", Word("010")),
        (Codec(kind=Kind.TEXT), "010", Text("010")),
        (Codec(kind=Kind.TEXT, quote='"'), '"010"', Text("010")),
        (Codec(kind=Kind.NUMBER), "010", num("10")),
        (Codec(quote='"', escape='"'), '"a ""b"""', Text('a "b"')),
        (Codec(quote='"', escape='"'), '"a"b"', Word('"a"b"')),
        (Codec(quote="<>"), "<a < b>", Text("a < b")),
        (Codec(quote="<>"), "<a> b>", Word("<a> b>")),
        (Codec(quote="||"), "|LW-01|", Text("LW-01")),
        (Codec(quote="||"), "|", Word("|")),
        (Codec(on="+", off="-"), "+", Switch(on=True)),
        (Codec(separator="/"), "5/-1", Series((num("5"), num("-1")))),
        (Codec(separator=" "), "5 up", Series((num("5"), Word("up")))),
    ],
)
def test_a_spelling_means_a_value(codec: Codec, raw: str, value: Value) -> None:
    assert codec.read(raw) == value


@pytest.mark.parametrize(
    ("codec", "value", "spelled"),
    [
        (Codec(radix=16, prefix="0x", digits=4), num("1550"), "0x060E"),
        (Codec(scale=Decimal("0.1"), suffix="t"), num("5.5"), "55t"),
        (Codec(places=2), num("1.5"), "1.50"),
        (Codec(places=0), num("1512.0"), "1512"),
        (Codec(digits=4), num("55"), "0055"),
        (Codec(digits=4), num("-55"), "-0055"),
        (Codec(words={"never": "0"}), num("0.0"), "never"),
        (Codec(words={"never": "0"}), num("1"), "1"),
        (Codec(unset="-"), Unset(), "-"),
        (Codec(quote='"', escape='"'), Text('a "b"'), '"a ""b"""'),
        (Codec(quote="<>", escape="\\"), Text("a > b"), "<a \\> b>"),
        (Codec(kind=Kind.TEXT), Text("two words"), "two words"),
    ],
)
def test_a_value_is_spelled_as_the_console_does(
    codec: Codec, value: Value, spelled: str
) -> None:
    assert codec.write(value) == spelled
    assert codec.read(spelled) == value


@pytest.mark.parametrize(
    ("codec", "value", "words"),
    [
        (Codec(), Unset(), "no way to unset"),
        (Codec(), Switch(on=True), "no words for on and off"),
        (Codec(radix=16), num("-1"), "base 16"),
        (Codec(radix=16), num("1.5"), "base 16"),
        (Codec(places=1), num("1.25"), "would read 1.2"),
        (Codec(scale=Decimal(3)), num("1"), "no exact number"),
        (Codec(unset="-"), Word("-"), "would read unset"),
        (Codec(kind=Kind.TEXT, unset="-"), Text("-"), "would read unset"),
        (Codec(kind=Kind.WORD), num("5"), "would read 5"),
        (Codec(kind=Kind.TEXT), Text("a\rb"), r"U\+000D"),
        (Codec(kind=Kind.TEXT, reserved=";"), Text("a;b"), "command of its own"),
        (Codec(words={"never": "0"}), Word("never"), "would read 0"),
        (Codec(quote="<>"), Text("a>b"), "cannot be written"),
        (Codec(quote="<>"), Word("a>b"), "open or close"),
        (Codec(suffix=";", reserved=";"), num("5"), "command of its own"),
    ],
)
def test_what_would_be_read_otherwise_is_refused(
    codec: Codec, value: Value, words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        codec.write(value)


V250 = Codec(quote='"', escape="\\", hex_escapes=True, reserved_outside=";")


@MANY
@given(TEXTS)
def test_a_text_survives_escapes_of_two_hex_digits(value: Text) -> None:
    spelled = V250.write(value)
    assert V250.read(spelled) == value
    assert '"' not in spelled[1:-1]


@pytest.mark.parametrize(
    ("raw", "text"),
    [
        (r'"a\22b"', 'a"b'),
        (r'"a\5Cb"', "a\\b"),
        (r'"a\5cb"', "a\\b"),
        (r'"a\zzb"', r"a\zzb"),
    ],
)
def test_an_escape_stands_for_the_character_of_its_digits(raw: str, text: str) -> None:
    assert V250.read(raw) == Text(text)


def test_what_means_something_outside_quotes_alone_may_stand_inside() -> None:
    assert V250.write(Text("a;b")) == '"a;b"'
    with pytest.raises(ValueError, match="command of its own"):
        V250.write(Word("a;b"))


ANY_CODEC = st.builds(
    Codec,
    on=st.sampled_from(["", "on", "1"]),
    off=st.sampled_from(["off", "0"]),
    quote=st.sampled_from(["", '"', "<>"]),
    escape=st.sampled_from(["", '"', "\\", ">"]),
    separator=st.sampled_from(["", ",", " ", "/"]),
    kind=st.sampled_from([None, *Kind]),
    prefix=st.sampled_from(["", "0x"]),
    suffix=st.sampled_from(["", "t"]),
    radix=st.sampled_from([2, 8, 10, 16]),
    digits=st.integers(0, 5),
    places=st.integers(-1, 3),
    scale=st.sampled_from([Decimal(1), Decimal("0.1"), Decimal(3)]),
    exponents=st.booleans(),
    words=st.sampled_from([{}, {"no": "0"}, {"bad": "x"}]),
    unset=st.sampled_from([None, "", "-"]),
)
ANY_RAW = st.one_of(
    st.text(max_size=12),
    st.text('01.+-Eex"<>,/ \\tonf', max_size=12),
    st.text("0123456789", min_size=30, max_size=40),
)


@MANY
@given(codec=ANY_CODEC, raw=ANY_RAW)
def test_whatever_a_board_lists_is_some_value_and_is_written_back_or_refused(
    codec: Codec, raw: str
) -> None:
    value = codec.read(raw)
    try:
        spelled = codec.write(value)
    except ValueError:
        return
    assert codec.read(spelled) == value

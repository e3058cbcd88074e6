"""Values listed in one unit and written in another: times, ratios, suffixes."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.console.clock import Clock
from benchlink.console.codec import Codec
from benchlink.console.scaling import Scale, over, scale_or_none, times
from benchlink.console.spelling import Where
from benchlink.core.values import Number, Word
from benchlink.errors import FileError
from tests.console.talking import FEW, console

MINUTES = Fraction(1, 60)
"""What a second is in minutes."""
MIXED: dict[str, Scale] = {" s": Decimal(1), " ms": Fraction(1, 1000)}


def num(text: str) -> Number:
    return Number(Decimal(text))


@pytest.mark.parametrize(
    ("codec", "raw", "value"),
    [
        (Codec(clock=Clock.HOURS_MINUTES), "6:30", "23400"),
        (Codec(clock=Clock.HOURS_MINUTES), "-0:05", "-300"),
        (Codec(clock=Clock.HOURS_MINUTES), "100:00", "360000"),
        (Codec(clock=Clock.HOURS_MINUTES, scale=MINUTES), "6:30", "390"),
        (Codec(clock=Clock.HOURS_MINUTES, digits=2), "06:30", "23400"),
        (Codec(clock=Clock.HOURS_MINUTES_SECONDS), "6:30:05", "23405"),
        (Codec(clock=Clock.MINUTES_SECONDS, suffix=" min"), "1:30 min", "90"),
        (Codec(scale=MINUTES), "1140", "19"),
        (Codec(scale=MINUTES), "90", "1.5"),
        (Codec(scale=Fraction(1000, 3)), "0.03", "10"),
        (Codec(suffix=" ms", scale=Decimal("0.001")), "1500 ms", "1.5"),
        (Codec(units=MIXED, places=0), "2 s", "2"),
        (Codec(units=MIXED, places=0), "1500 ms", "1.5"),
        (Codec(units={" s": Decimal(1)}), "1.5 s", "1.5"),
    ],
)
def test_a_value_is_read_and_written_in_its_unit(
    codec: Codec, raw: str, value: str
) -> None:
    assert codec.read(raw) == num(value)
    assert codec.write(num(value)) == raw


@pytest.mark.parametrize(
    ("codec", "raw"),
    [
        (Codec(clock=Clock.HOURS_MINUTES), "6:60"),
        (Codec(clock=Clock.HOURS_MINUTES), "6:5"),
        (Codec(clock=Clock.HOURS_MINUTES), "6:30:00"),
        (Codec(clock=Clock.HOURS_MINUTES), "390"),
        (Codec(clock=Clock.HOURS_MINUTES), ":30"),
        (Codec(clock=Clock.HOURS_MINUTES), "6:-1"),
        (Codec(clock=Clock.HOURS_MINUTES, scale=Fraction(1, 3600)), "6:20"),
        (Codec(scale=MINUTES), "20"),
        (Codec(units=MIXED), "5"),
        (Codec(units=MIXED), "5 min"),
    ],
)
def test_what_has_no_exact_number_stays_as_it_is_listed(codec: Codec, raw: str) -> None:
    kept = codec.read(raw)
    assert kept == Word(raw)
    # Nor is it written elsewhere as if it were a number in that unit.
    if raw.isdigit():
        with pytest.raises(ValueError, match="the board would read"):
            Codec().write(kept)


@pytest.mark.parametrize(
    ("codec", "value", "words"),
    [
        (Codec(scale=Decimal(60)), "19.5001", "no exact number"),
        (Codec(scale=Fraction(3, 7)), "1", "no exact number"),
        (Codec(clock=Clock.HOURS_MINUTES), "61", "61 s cannot be told as h:mm"),
        (Codec(clock=Clock.MINUTES_SECONDS), "0.5", "cannot be told as m:ss"),
        (Codec(units=MIXED, places=0), "0.0001", "no exact number"),
        (Codec(scale=Decimal("0.0166666667"), places=0), "19", "no exact number"),
    ],
)
def test_what_cannot_be_told_exactly_is_refused(
    codec: Codec, value: str, words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        codec.write(num(value))


@FEW
@given(st.decimals(allow_nan=False, allow_infinity=False, places=3), st.fractions())
def test_scaling_is_exact_or_not_at_all(number: Decimal, ratio: Fraction) -> None:
    if ratio <= 0:
        return
    for told, exact in (
        (times(number, ratio), Fraction(number) * ratio),
        (over(number, ratio), Fraction(number) / ratio),
    ):
        if told is not None:
            assert Fraction(told) == exact
        else:
            rest = exact.denominator
            while rest % 2 == 0 or rest % 5 == 0:
                rest //= 2 if rest % 2 == 0 else 5
            assert rest > 1


def test_a_long_number_is_scaled_as_quickly_as_it_is_read() -> None:
    told = times(Decimal("6" * 50_000), MINUTES)
    assert told is not None
    assert over(told, MINUTES) == Decimal("6" * 50_000)


@pytest.mark.parametrize(
    "text", ["0", "-1", "1/0", "0/5", "1/-6", "1/6/2", "1.5/2", "/60", "1/", "x", ""]
)
def test_a_scale_is_a_number_or_a_ratio_above_nothing(text: str) -> None:
    assert scale_or_none(text) is None
    with pytest.raises(FileError) as caught:
        console(spelling=f'[{{names: ["a"], scale: "{text}"}}]')
    assert "must be a number above 0, or a ratio" in "".join(caught.value.details)


def test_a_description_tells_both_units_and_lists_what_it_writes() -> None:
    spelling = console(
        spelling='[{names: ["dawn"], in: [list], clock: h:mm, scale: 1/60},'
        ' {names: ["pulse"], in: [list], suffix: " s"},'
        ' {names: ["pulse"], in: [write], suffix: " ms", scale: 1/1000},'
        ' {names: ["rest"], in: [list], units: {" s": 1, " ms": 1/1000}}]'
    ).spelling
    dawn = spelling.codec("dawn", Where.LIST).read("6:30")
    assert spelling.codec("dawn", Where.WRITE).write(dawn) == "390"
    pulse = spelling.codec("pulse", Where.LIST).read("1.5 s")
    assert spelling.codec("pulse", Where.WRITE).write(pulse) == "1500 ms"
    rest = spelling.codec("rest", Where.LIST).read("80 ms")
    assert spelling.codec("rest", Where.WRITE).write(rest) == "0.08"

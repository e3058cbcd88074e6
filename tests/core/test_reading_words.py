"""Readings as people write them, and what is asked back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.core.angles import Degrees, Estimate, Way, angle_words, leaning
from benchlink.core.reading_words import (
    Doubt,
    Doubtful,
    Heard,
    plausible,
    read_words,
    unexpected,
    way_words,
)
from tests.core.making import FEW


def about(mean_deg: float, sd_deg: float = 0.3) -> Estimate:
    return Estimate(mean_deg=Degrees(mean_deg), sd_deg=sd_deg)


@pytest.mark.parametrize(
    ("text", "angle"),
    [
        ("7.5 aft", -7.5),
        ("7,5 aft", -7.5),
        ("7.5° aft", -7.5),
        ("7.5aft", -7.5),
        ("aft 7.5", -7.5),
        ("7.5 deg. forward", 7.5),
        ("7 1/2 degrees forward", 7.5),
        ("7½ f", 7.5),
        ("½ a", -0.5),
        ("1/2 aft", -0.5),
        (".5 back", -0.5),
        ("12. forward", 12.0),
        ("7.5 FORWARD", 7.5),
        ("\uff17.\uff15 forward", 7.5),
        ("0", 0.0),
        ("-0,0", 0.0),
        ("upright", 0.0),
        ("zero", 0.0),
    ],
)
def test_a_number_with_its_word_is_taken(text: str, angle: float) -> None:
    assert read_words(text) == Heard(angle_deg=Degrees(angle))


@pytest.mark.parametrize(
    "text", ["7.5", "-7.5", "+7,5", "\u22127.5", "-7.5 aft", "7.5°"]
)
def test_a_sign_or_a_bare_number_is_asked_about(text: str) -> None:
    told = read_words(text)

    assert isinstance(told, Doubtful)
    assert told.doubt is Doubt.WAY
    assert told.question == "7.5 deg forward or aft?"
    assert told.size_deg == 7.5


def test_a_bare_number_is_taken_where_only_one_way_fits() -> None:
    assert read_words("7.5", about(-7.0)) == Heard(angle_deg=Degrees(-7.5))
    assert read_words("7.5", about(7.0)) == Heard(angle_deg=Degrees(7.5))


@pytest.mark.parametrize("mean", [0.0, 0.3, 20.0])
def test_a_bare_number_is_asked_about_where_both_or_none_fit(mean: float) -> None:
    told = read_words("0.6", about(mean))

    assert isinstance(told, Doubtful)
    assert told.doubt is Doubt.WAY


def test_a_sign_is_asked_about_even_where_it_would_fit() -> None:
    assert isinstance(read_words("-7.5", about(-7.5)), Doubtful)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "aft",
        "7.5 up",
        "7.5.1 aft",
        "7 5 aft",
        "1,234.5 aft",
        "7.5 aft forward",
        "1/0 aft",
        "nan aft",
        "1e1 aft",
        "7.5 mm aft",
        "--7.5",
        "7.5- aft",
        "7" * 60,
        "\x1b[A",
    ],
)
def test_what_is_no_reading_is_asked_again_with_an_example(text: str) -> None:
    told = read_words(text)

    assert isinstance(told, Doubtful)
    assert told.doubt is Doubt.NO_NUMBER
    assert "7.5 aft" in told.question


def test_no_arm_leans_further_than_a_right_angle() -> None:
    told = read_words("95 aft")

    assert isinstance(told, Doubtful)
    assert told.doubt is Doubt.TOO_LARGE


@FEW
@given(size=st.integers(0, 900), way=st.sampled_from(Way), comma=st.booleans())
def test_what_is_echoed_reads_back_as_the_same_angle(
    size: int, way: Way, *, comma: bool
) -> None:
    angle = leaning(size / 10, way)
    echo = angle_words(angle)

    told = read_words(echo.replace(".", ",") if comma else echo)

    assert told == Heard(angle_deg=angle)
    assert str(told) == echo
    assert "-" not in echo


@FEW
@given(st.text(max_size=50))
def test_no_text_at_all_ends_in_a_traceback(text: str) -> None:
    told = read_words(text, about(3.0))

    assert isinstance(told, Doubtful) or abs(told.angle_deg) <= 90


def test_a_reading_far_off_is_asked_about_and_a_slip_of_the_way_is_named() -> None:
    slip = unexpected(Degrees(-6.4), about(6.0))
    other = unexpected(Degrees(64.0), about(6.0))

    assert (slip.doubt, other.doubt) == (Doubt.WAY, Doubt.UNEXPECTED)
    assert slip.question == "6.4 deg forward or aft? 6.0 deg forward was expected."
    assert "You wrote 64.0 deg forward; about 6.0 deg forward" in other.question


def test_close_readings_are_never_doubted_however_sure_the_fit() -> None:
    assert plausible(6.9, about(6.0, 0.01))
    assert not plausible(7.1, about(6.0, 0.01))


def test_the_answer_to_which_way_is_one_word() -> None:
    assert way_words(" Aft. ") is Way.AFT
    assert way_words("f") is Way.FORWARD
    assert way_words("left") is None

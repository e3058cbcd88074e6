"""A person's words for a hover, and the trims of a transmitter."""

import pytest

from benchlink.core.angles import Way
from benchlink.core.stick_trim import StickTrim, stick_trim
from benchlink.core.trim import STEP_DEG, Wandering
from benchlink.core.trim_words import lean_of, seen_words
from benchlink.errors import UsageError
from benchlink.units import PulseUs


def us(**pulses: float) -> dict[int, PulseUs]:
    return {int(name[1:]): PulseUs(pulse) for name, pulse in pulses.items()}


@pytest.mark.parametrize(
    ("text", "wandering", "size_deg"),
    [
        ("drifts forward 0.5", Wandering.FORWARD, 0.5),
        ("drifts aft 0,5", Wandering.AFT, 0.5),
        ("noses left 1", Wandering.NOSE_LEFT, 1.0),
        ("  Noses  Right .25 deg", Wandering.NOSE_RIGHT, 0.25),
        ("noses right 1,25°", Wandering.NOSE_RIGHT, 1.25),
    ],
)
def test_words_with_a_size(text: str, wandering: Wandering, size_deg: float) -> None:
    (seen,) = seen_words(text)

    assert (seen.wandering, seen.size_deg, seen.told) == (wandering, size_deg, True)


def test_without_a_size_the_usual_step_is_taken_and_known_as_such() -> None:
    (seen,) = seen_words("drifts aft")

    assert (seen.size_deg, seen.told) == (STEP_DEG, False)


def test_a_drift_and_a_wandering_nose_are_answered_at_once() -> None:
    lean = lean_of(seen_words("drifts forward 1 and noses left 0,5"))

    assert (lean.left_deg, lean.right_deg) == (-0.5, -1.5)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "forward",
        "drifts left",
        "noses aft",
        "drifts forward -0.5",
        "drifts forward +0.5",
        "drifts forward 0.5 0.5",
        "drifts forward 0,5,5",
        "drifts forward 1e-1",
        "drifts forward nan",
        "drifts forward ٣",
        "drifts forward 0",
        "drifts forward 0,0",
        "drifts forward half",
        "drifts forward 0.5 us",
        "drifts forward and drifts aft",
        "drifts forward and drifts forward",
        "drifts forward and",
        "drifts forward, noses left",
    ],
)
def test_nothing_else_is_taken(text: str) -> None:
    with pytest.raises(UsageError):
        seen_words(text)


def test_the_held_stick_tells_its_channel_its_travel_and_its_way() -> None:
    let_go = us(c1=1500, c2=1512, c3=1000)
    rising = stick_trim(let_go, us(c1=1502, c2=1912, c3=1000))
    falling = stick_trim(let_go, us(c1=1502, c2=1112, c3=1000))

    assert rising.channel == falling.channel == 2
    assert rising.tilt_deg(36, Way.FORWARD) == pytest.approx(1.08)
    assert rising.tilt_deg(36, Way.AFT) == pytest.approx(-1.08)
    assert falling.tilt_deg(36, Way.FORWARD) == pytest.approx(-1.08)
    assert "12 us above its middle" in str(rising)


def test_another_middle_is_another_trim() -> None:
    found = stick_trim(us(c2=1512), us(c2=1912), PulseUs(1520))

    assert found.trim_us == -8
    assert isinstance(found, StickTrim)
    assert "8 us below its middle" in str(found)


@pytest.mark.parametrize(
    ("let_go", "held", "why"),
    [
        (us(c1=1500, c2=1500), us(c1=1510, c2=1640), "no channel moved"),
        (us(c1=1500, c2=1500), us(c1=1900, c2=1100), "1 and 2 moved together"),
        (us(c1=1500), us(c2=1900), "no channel moved"),
        (us(c2=1640), us(c2=1900), "more than a trim"),
    ],
)
def test_what_is_no_held_stick_is_refused(
    let_go: dict[int, PulseUs], held: dict[int, PulseUs], why: str
) -> None:
    with pytest.raises(UsageError, match=why):
        stick_trim(let_go, held)

"""One line for how far a step has come, in the words of both faces."""

import pytest

from benchlink.core.advance import Advance, Amount, Wait
from benchlink.faces.advance_words import AdvanceWords
from benchlink.units import Seconds


def writing(settings: int, size: int) -> Advance:
    return Advance(
        what="writing",
        settings=Amount(done=settings, total=40),
        size=Amount(done=size, total=870),
    )


def test_a_writing_tells_settings_bytes_and_what_is_left() -> None:
    words = AdvanceWords()
    assert words.line(writing(0, 0), Seconds(1.0)) == (
        "writing   0 of 40 settings, 0 of 870 bytes"
    )
    assert words.line(writing(12, 310), Seconds(2.7)) == (
        "writing   12 of 40 settings, 310 of 870 bytes, about 3 s left"
    )
    words.over()
    assert "left" not in words.line(writing(14, 330), Seconds(3.0))


@pytest.mark.parametrize(
    ("size", "told"),
    [
        (Amount(done=8_412), "8,412 bytes"),
        (Amount(done=8_412, total=12_900, about=True), "8,412 of about 12,900 bytes"),
        (Amount(done=13_001, total=12_900, about=True), "13,001 bytes"),
    ],
)
def test_a_reading_back_knows_its_end_from_the_last_one_only(
    size: Amount, told: str
) -> None:
    line = AdvanceWords().line(Advance(what="reading back", size=size), Seconds(0.0))
    assert line == f"reading back   {told}"


def test_a_restart_tells_how_long_it_has_been_waited_for() -> None:
    wait = Wait(so_far=Seconds(3.2), at_most=Seconds(20.0))
    line = AdvanceWords().line(
        Advance(what="restarting the board", wait=wait), Seconds(0.0)
    )
    assert line == "restarting the board   3 s of at most 20 s"


@pytest.mark.parametrize(
    ("took", "told"),
    [
        (1.0, "about 1 s left"),
        (11.0, "about 15 s left"),
        (61.0, "about 1 min 5 s left"),
    ],
)
def test_a_long_time_is_told_in_steps(took: float, told: str) -> None:
    words = AdvanceWords()
    words.line(writing(0, 0), Seconds(0.0))
    assert words.line(writing(20, 435), Seconds(took)).endswith(told)

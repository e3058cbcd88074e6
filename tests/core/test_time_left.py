"""What is left of a step: measured, told late rather than wrong, and never rising wildly."""

from benchlink.core.advance import Advance, Amount, Wait
from benchlink.core.time_left import STALLED_AFTER, TimeLeft
from benchlink.units import Seconds


def writing(done: int, total: int | None = 1000) -> Advance:
    return Advance(what="writing", size=Amount(done=done, total=total))


def test_nothing_is_told_before_a_second_of_pace() -> None:
    left = TimeLeft()
    assert left.after(writing(0), Seconds(5.0)) is None
    assert left.after(writing(90), Seconds(5.9)) is None
    assert left.after(writing(100), Seconds(6.0)) == 9.0


def test_it_counts_down_between_two_measurements() -> None:
    left = TimeLeft()
    left.after(writing(0), Seconds(0.0))
    left.after(writing(500), Seconds(5.0))
    assert left.after(writing(500), Seconds(6.0)) == 4.0


def test_the_time_before_the_first_byte_counts_into_the_pace_of_its_own_step_only() -> (
    None
):
    left = TimeLeft()
    left.after(writing(0), Seconds(0.0))
    left.after(writing(1000), Seconds(100.0))
    back = Advance(what="reading back", size=Amount(done=0, total=100, about=True))
    assert left.after(back, Seconds(100.0)) is None
    half = Advance(what="reading back", size=Amount(done=50, total=100, about=True))
    assert left.after(half, Seconds(102.0)) == 2.0


def test_a_step_of_the_same_name_begins_anew() -> None:
    left = TimeLeft()
    left.after(writing(0), Seconds(0.0))
    left.after(writing(900), Seconds(90.0))
    left.forget()
    assert left.after(writing(900), Seconds(91.0)) is None
    assert left.after(writing(10), Seconds(92.0)) is None


def test_a_pace_that_falls_a_little_does_not_let_the_time_rise() -> None:
    left = TimeLeft()
    left.after(writing(0), Seconds(0.0))
    assert left.after(writing(100), Seconds(1.0)) == 9.0
    assert left.after(writing(200), Seconds(2.5)) == 7.5, "measured anew it would be 10"
    assert left.after(writing(500), Seconds(5.0)) == 5.0


def test_a_pace_that_was_far_off_is_corrected() -> None:
    left = TimeLeft()
    left.after(writing(0), Seconds(0.0))
    assert left.after(writing(500), Seconds(1.0)) == 1.0
    later = left.after(writing(510), Seconds(10.0))
    assert later is not None
    assert later > 9.0


def test_when_nothing_comes_nothing_is_promised() -> None:
    left = TimeLeft()
    left.after(writing(0), Seconds(0.0))
    assert left.after(writing(500), Seconds(1.0)) == 1.0
    assert left.after(writing(500), Seconds(1.5)) == 0.5
    assert left.after(writing(500), Seconds(1.0 + STALLED_AFTER)) is None
    assert left.after(writing(600), Seconds(4.5)) is not None


def test_an_unknown_a_reached_and_an_overrun_end_tell_no_time() -> None:
    for advance in (
        writing(100, None),
        writing(1000),
        writing(1001),
        Advance(what="writing"),
        Advance(what="writing", wait=Wait(so_far=Seconds(2.0), at_most=Seconds(20.0))),
    ):
        left = TimeLeft()
        left.after(writing(0, None), Seconds(0.0))
        assert left.after(advance, Seconds(10.0)) is None


def test_bytes_tell_more_than_settings() -> None:
    left, told = TimeLeft(), None
    for now, done in ((0.0, 0), (2.0, 20)):
        both = Advance(
            what="writing",
            settings=Amount(done=done // 2, total=1000),
            size=Amount(done=done, total=100),
        )
        told = left.after(both, Seconds(now))
    assert told == 8.0

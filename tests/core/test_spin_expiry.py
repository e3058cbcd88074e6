"""That a board ends a motion by itself is seen, or else not believed."""

from dataclasses import replace

import pytest

from benchlink.core.readings import Quantity
from benchlink.core.spin_expiry import Expiry, Trial, driven, proven
from benchlink.errors import MisuseError, SafetyRefusalError
from benchlink.units import Seconds

PAD = (Quantity.OUTPUT, 1)
SPEED = (Quantity.MOTOR_SPEED, 1)
REST = {PAD: 0.0, (Quantity.OUTPUT, 3): 1500.0, SPEED: 0.0}
RUNNING = {**REST, PAD: 1050.0}
TRIAL = Trial(
    motor="left",
    ordered=Seconds(0.5),
    before=REST,
    during=RUNNING,
    after=((Seconds(0.62), REST),),
    epoch=3,
    pack_in=False,
)


def test_a_board_that_rests_after_its_time_is_believed() -> None:
    expiry = proven(TRIAL)
    assert (expiry.within, expiry.epoch, expiry.pack_in) == (0.62, 3, False)
    assert str(expiry) == (
        "left motor, told 0.5 s and left alone: all was at rest when asked 0.6 s after the order"
        " (pack out)"
    )


def test_a_speed_alone_shows_it_as_well() -> None:
    trial = replace(TRIAL, before={SPEED: 0.0}, during={SPEED: 1200.0})
    assert proven(replace(trial, after=((Seconds(0.7), {SPEED: 0.0}),))).within == 0.7


def test_where_nothing_showed_while_it_was_ordered_nothing_is_proven() -> None:
    with pytest.raises(SafetyRefusalError, match="nothing shows whether") as caught:
        proven(replace(TRIAL, during=REST))
    assert "`readings:`" in caught.value.hint
    with pytest.raises(SafetyRefusalError, match="nothing shows whether"):
        proven(replace(TRIAL, before={}, during={}, after=((Seconds(0.6), {}),)))


def test_a_board_that_ends_too_late_is_refused_with_the_figure() -> None:
    late = ((Seconds(0.62), RUNNING), (Seconds(4.02), REST))
    with pytest.raises(SafetyRefusalError, match=r"went on for 4\.0 s") as caught:
        proven(replace(TRIAL, after=late))
    assert "radio" in caught.value.hint


def test_a_board_that_never_ends_is_refused_with_the_time_it_was_watched() -> None:
    never = ((Seconds(0.62), RUNNING), (Seconds(6.1), RUNNING))
    with pytest.raises(SafetyRefusalError, match=r"still driving after 6\.1 s"):
        proven(replace(TRIAL, after=never))


def test_a_reading_that_is_missing_afterwards_proves_no_rest() -> None:
    with pytest.raises(SafetyRefusalError, match="still driving"):
        proven(replace(TRIAL, after=((Seconds(0.62), {SPEED: 0.0}),)))


def test_an_output_of_which_nothing_is_told_at_rest_shows_by_being_told() -> None:
    trial = replace(TRIAL, before={SPEED: 0.0}, during={SPEED: 0.0, PAD: 1050.0})
    assert proven(replace(trial, after=((Seconds(0.6), {SPEED: 0.0}),))).within == 0.6
    with pytest.raises(SafetyRefusalError, match="still driving"):
        proven(replace(trial, after=((Seconds(0.6), {SPEED: 0.0, PAD: 1050.0}),)))


def test_small_wobbles_of_a_reading_are_no_motion() -> None:
    assert driven(REST, {**REST, PAD: 8.0, SPEED: 150.0}) == ()
    assert driven(REST, RUNNING) == (PAD,)


def test_nobody_can_say_it_instead() -> None:
    with pytest.raises(MisuseError):
        Expiry(
            motor="left",
            ordered=Seconds(0.5),
            within=Seconds(0.6),
            epoch=3,
            pack_in=True,
            seal=object(),
        )

"""The picture of one tilt arm: what it says follows from what was read."""

import pytest

from benchlink.core.angles import Side
from benchlink.core.roles import OwnSide
from benchlink.core.scene import MotorState
from benchlink.core.servo_part import Turns
from benchlink.core.tilt_scene import Moment, tilt_scene
from benchlink.units import PulseUs
from tests.support.scenes import FULL_AFT, UPRIGHT, arm_of, read, spin, tilt


@pytest.mark.parametrize("angle", [0.0, 0.5, -0.5])
def test_a_reading_within_its_tolerance_is_praised(angle: float) -> None:
    scene = tilt(read(1464.0, angle))
    assert scene.within
    assert scene.praises is scene.read


def test_a_reading_outside_its_tolerance_is_not() -> None:
    scene = tilt(read(1464.0, 0.6))
    assert not scene.within
    assert scene.praises is None


def test_a_reading_at_another_pulse_says_nothing_of_this_one() -> None:
    assert not tilt(read(1464.0, 0.0), at=1470.0).within


def test_where_any_angle_will_do_none_is_praised() -> None:
    reading = read(1464.0, 0.0)
    moment = Moment(asks="", pulse_us=PulseUs(1464.0), read=reading, any_angle=True)
    scene = tilt_scene(OwnSide.LEFT, arm_of(reading), UPRIGHT, moment)
    assert scene.wanted_deg is None
    assert scene.praises is None


def test_on_the_way_the_next_pulse_is_where_it_goes() -> None:
    scene = tilt(read(1500.0, 3.6), at=1480.0, goal=1464.0)
    assert scene.next_us is not None
    assert (scene.next_us.nearest, scene.next_us.half_width_us) == (1464.0, 0.0)


def test_at_rest_the_next_pulse_is_where_the_readings_point_to() -> None:
    scene = tilt(read(1500.0, 3.6), at=1500.0)
    assert scene.next_us is not None
    assert scene.next_us.nearest == pytest.approx(1464.0, abs=5.0)
    assert scene.next_us.half_width_us > 0


def test_before_the_first_reading_nothing_points_anywhere() -> None:
    scene = tilt(at=None)
    assert (scene.next_us, scene.stands, scene.read) == (None, None, None)


def test_an_end_that_the_servo_does_not_take_is_not_told_as_next() -> None:
    far = arm_of(read(1500.0, 30.0))
    assert tilt(read(1500.0, 30.0), sought=FULL_AFT, arm=far).next_us is None


def test_the_window_lies_between_angles_whichever_way_the_servo_turns() -> None:
    for turns in (Turns.FORWARD, Turns.AFT):
        scene = tilt(arm=arm_of(turns=turns))
        assert scene.window_deg is not None
        assert scene.window_deg.aft_deg < 0 < scene.window_deg.forward_deg


def test_without_a_way_of_turning_a_pulse_is_no_angle() -> None:
    scene = tilt(arm=arm_of(turns=Turns.NOT_KNOWN))
    assert (scene.window_deg, scene.part_deg) == (None, None)
    assert scene.stands is not None


def test_an_arm_that_came_from_forward_stands_by_its_play_further_forward() -> None:
    arm = arm_of(read(1500.0, 0.0))
    came = [
        tilt_scene(
            OwnSide.LEFT,
            arm,
            UPRIGHT,
            Moment(asks="", pulse_us=PulseUs(1500.0), came=side),
        ).stands
        for side in (Side.FROM_AFT, Side.FROM_FORWARD)
    ]
    assert came[0] is not None
    assert came[1] is not None
    assert came[1].mean_deg > came[0].mean_deg


def test_only_a_motor_that_stopped_is_at_rest() -> None:
    rest = {state: spin(state).at_rest for state in MotorState}
    assert [state for state, still in rest.items() if still] == [MotorState.STOPPED]
    assert tilt().at_rest

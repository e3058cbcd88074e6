"""Scenes as lines: what stands where, and that nothing is cut off that counts."""

from dataclasses import replace

import pytest

from benchlink.core.scene import MotorState, TiltScene
from benchlink.faces.screen.station.big_figures import GRIDS, large, small
from benchlink.faces.screen.station.horn_gauge import gauge
from benchlink.faces.screen.station.scene_form import Form, Line, form_for
from benchlink.faces.screen.station.spin_scene import spin_lines
from benchlink.faces.screen.station.tilt_scene import tilt_lines
from benchlink.units import Seconds
from benchlink.workflows.nudging import KEYS
from tests.support.scenes import FULL_AFT, arm_of, read, spin, tilt

WIDTH = 78
SIZES = [(60, 16), (80, 24), (120, 40), (200, 60)]
NOW = Seconds(0.0)


def text(lines: list[Line]) -> list[str]:
    return ["".join(piece for piece, _ in line) for line in lines]


def tilt_text(scene: TiltScene, form: Form = Form.USUAL, width: int = WIDTH) -> str:
    lines = tilt_lines(scene, width, form, within=scene.within, flash=False)
    return "\n".join(text(lines))


def test_every_figure_is_drawn_on_a_grid_of_five_dots() -> None:
    for char, grid in GRIDS.items():
        rows = grid.split()
        assert len(rows) == 5, char
        assert len({len(row) for row in rows}) == 1, char


def test_figures_differ_from_each_other_in_both_sizes() -> None:
    digits = "0123456789"
    assert len({small(digit) for digit in digits}) == len(digits)
    assert len({large(digit) for digit in digits}) == len(digits)
    assert (len(small("8")), len(large("8"))) == (3, 5)


def test_aft_is_left_and_forward_right_in_words() -> None:
    _, scale = gauge(tilt(), 70)
    assert scale.startswith("AFT 30 ")
    assert scale.endswith(" 30 FORWARD")


@pytest.mark.parametrize(("angle", "side"), [(-12.0, "left"), (12.0, "right")])
def test_a_reading_lies_on_its_side_of_what_is_wanted(angle: float, side: str) -> None:
    arm, scale = gauge(tilt(read(1464.0, angle)), 70)
    assert (arm.index("V") < scale.index("^")) is (side == "left")


def test_a_reading_of_another_pulse_has_another_mark() -> None:
    arm, _ = gauge(tilt(read(1464.0, 5.0), at=1480.0), 70)
    assert "v" in arm
    assert "V" not in arm


def test_the_doubt_of_the_fit_is_drawn_as_wide_as_it_is() -> None:
    before, _ = gauge(tilt(at=1500.0), 70)
    after, _ = gauge(tilt(read(1500.0, 3.6), at=1500.0), 70)
    assert before.count("▒") > 4 * after.count("▒") > 0


def test_window_and_stops_stand_on_the_scale() -> None:
    wide = arm_of(read(1500.0, 0.0), low=1200.0, high=1890.0)
    _, scale = gauge(tilt(sought=FULL_AFT, arm=wide), 100)
    marks = [scale.index(mark) for mark in ("#", "^", "[")]
    assert marks == sorted(marks)
    assert scale.rindex("#") > scale.index("+") > scale.index("#")


def test_where_nobody_knows_the_way_nothing_is_drawn_inside() -> None:
    scene = replace(tilt(), window_deg=None, part_deg=None)
    _, scale = gauge(scene, 70)
    assert not {"[", "]", "-", "|"} & set(scale)


def test_no_angle_has_a_bare_sign() -> None:
    shown = tilt_text(tilt(read(1464.0, -7.5)), Form.LOW, 120)
    assert "7.5 deg AFT, jig" in shown
    assert "-7.5" not in shown


def test_a_reading_within_is_told_by_word_and_by_frame() -> None:
    right = tilt_text(tilt(read(1464.0, 0.2))).split("\n")
    assert "WITHIN 0.5 deg" in right[0]
    assert all(line.startswith("==") and line.endswith("==") for line in right)
    wrong = tilt_text(tilt(read(1464.0, 2.0))).split("\n")
    assert not any("==" in line for line in wrong)


@pytest.mark.parametrize("size", SIZES)
def test_a_scene_fits_its_form(size: tuple[int, int]) -> None:
    form, width = form_for(*size), size[0] - 2
    arm = arm_of(read(1500.0, 3.6), low=1100.0, high=1890.0)
    scenes = [
        tilt(read(1464.0, 0.2), keys=KEYS, sought=FULL_AFT, arm=arm),
        tilt(at=None),
    ]
    for scene in scenes:
        lines = text(tilt_lines(scene, width, form, within=True, flash=True))
        assert len(lines) <= form.value
        assert {len(line) for line in lines} == {width}
    for state in MotorState:
        lines = text(spin_lines(spin(state), width, form, NOW))
        assert len(lines) <= form.value
        assert {len(line) for line in lines} == {width}


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("state", list(MotorState))
def test_the_real_stop_and_the_state_are_never_cut_off(
    size: tuple[int, int], state: MotorState
) -> None:
    form, width = form_for(*size), size[0] - 2
    shown = "\n".join(text(spin_lines(spin(state), width, form, NOW)))
    assert "The real stop: pull the pack, from behind the disc." in shown
    assert ("stops" in shown) is (state is not MotorState.STOPPED)
    word = {MotorState.STOPPED: "[]", MotorState.RUNNING: ">>"}.get(state, "??")
    assert word in shown or "STOPPED" in shown


def test_all_keys_of_nudging_fit_the_usual_window() -> None:
    shown = tilt_text(tilt(read(1464.0, 0.2), keys=KEYS))
    assert all(f"[{key.key}] {key.does}" in shown for key in KEYS)


def test_a_countdown_goes_on_from_what_was_said_and_never_below_nothing() -> None:
    running = spin(MotorState.RUNNING)
    for elapsed, left, props in ((0.0, "0.5", "9:12"), (0.3, "0.2", "9:12")):
        shown = "\n".join(text(spin_lines(running, WIDTH, Form.LOW, Seconds(elapsed))))
        assert f"{left} s left of 0.5" in shown
        assert f"props off for {props}" in shown
    late = "\n".join(text(spin_lines(running, WIDTH, Form.LOW, Seconds(600.0))))
    assert "0.0 s left" in late
    assert "RUNNING" in late
    assert "NOT CONFIRMED" in late


def test_what_is_not_confirmed_is_told_so() -> None:
    scene = replace(spin(), confirmed_for=None, keys=())
    shown = text(spin_lines(scene, WIDTH, Form.USUAL, NOW))
    assert "props off NOT CONFIRMED" in shown[0]
    assert "No key runs anything now." in "\n".join(shown)

"""How the simulated board drives its outputs: settings, sticks, attitude, orders."""

from collections.abc import Iterator

import pytest

from mocks.announcement import Announcement
from mocks.bench import Bench as Table
from mocks.control import obey
from mocks.device import Device
from mocks.drives import Expiry
from mocks.options import ConsoleKind, Options, parse_options
from mocks.quantities import RefusalError
from mocks.servo import Doing
from tests.mocks.physics_bench import SECOND, Bench

STILL = {"level.self_levelling": "no", "steady.on": "no"}


@pytest.fixture
def bench() -> Bench:
    """Live, the sticks in the middle, nothing that acts by itself."""
    bench = Bench()
    for name, value in STILL.items():
        bench.craft.put(name, value)
    bench.go_live()
    bench.wait(1)
    return bench


def put(bench: Bench, **values: str) -> None:
    for name, value in values.items():
        bench.ask(f"let {name.replace('__', '.')} be {value}")
    bench.wait(1)


# Settings


def test_the_centre_moves_pulse_and_arm(bench: Bench) -> None:
    assert (bench.pulse(3), bench.angle()) == (1500, 0)
    put(bench, tilt__left__centre_us="1437")
    assert bench.pulse(3) == 1437
    assert bench.angle() == pytest.approx(-6.3)
    assert bench.pulse(4) == 1500


def test_ends_and_direction_shape_the_pulse(bench: Bench) -> None:
    put(bench, tilt__left__fore_us="400", tilt__left__aft_us="300")
    bench.set("channel-2", 2000)
    assert bench.pulse(3) == 1900
    bench.set("channel-2", 1000)
    assert bench.pulse(3) == 1200
    put(bench, tilt__left__direction="reversed")
    assert bench.pulse(3) == 1800
    assert bench.angle() == pytest.approx(30)


def test_a_pad_keeps_its_pulse_within_its_limits(bench: Bench) -> None:
    put(bench, output__p3__high_us="1700", output__p3__low_us="1400")
    bench.set("channel-2", 2000)
    assert bench.pulse(3) == 1700
    bench.set("channel-2", 1000)
    assert bench.pulse(3) == 1400


def test_the_job_of_a_pad_decides_what_it_sends(bench: Bench) -> None:
    put(bench, tilt__left__centre_us="1600")
    put(bench, output__p3__job="tilt-right", output__p4__job="tilt-left")
    assert (bench.pulse(3), bench.pulse(4)) == (1500, 1600)
    assert bench.angle("right") == pytest.approx(10)
    put(bench, output__p3__job="nothing")
    assert bench.pulse(3) == 0


def test_a_resting_pad_sends_what_it_is_set_to(bench: Bench) -> None:
    bench.ask("halt")
    assert {bench.pulse(pad) for pad in (1, 2, 3, 4)} == {0}
    put(bench, output__p3__rest_us="1600")
    assert bench.pulse(3) == 1600
    assert bench.angle() == pytest.approx(10)


def test_the_curve_bends_the_way_of_the_arms(bench: Bench) -> None:
    put(bench, tilt__bend_pct="-100,-20,0,20,100")
    bench.set("channel-2", 1750)
    assert bench.pulse(3) == pytest.approx(1500 + 0.2 * 350)
    bench.set("channel-2", 1250)
    assert bench.pulse(3) == pytest.approx(1500 - 0.2 * 350)


def test_arms_that_follow_at_rest_show_the_kept_centre_after_a_restart() -> None:
    bench = Bench(Options(tilts_follow=True))
    for name, value in STILL.items():
        bench.craft.put(name, value)
    bench.craft.put("tilt.left.centre_us", "1432")
    bench.craft.keep()
    bench.device.power_up(bench.now)
    assert bench.pulse(3) == 0, "not while it starts"
    bench.wait(1.5)
    assert (bench.pulse(3), bench.pulse(1)) == (1432, 0)
    assert bench.angle() == pytest.approx(-6.8)
    bench.hands("tilts rest")
    assert bench.pulse(3) == 0


def test_a_servo_on_a_powered_rail_jumps_when_its_board_restarts() -> None:
    bench = Bench(Options(tilts_follow=True))
    for name, value in STILL.items():
        bench.craft.put(name, value)
    bench.wait(1.0)
    bench.craft.put("tilt.left.centre_us", "1432")
    bench.craft.keep()
    bench.craft.put("tilt.left.centre_us", "1500")
    bench.hands("disconnect pack")
    bench.hands("connect rail")
    bench.wait(1.0)
    bench.hands("moved")
    bench.device.power_up(bench.now)
    bench.wait(1.5)
    assert "tilt-left" in bench.hands("moved")


def test_with_pack_and_rail_dead_a_restart_moves_nothing() -> None:
    bench = Bench(Options(tilts_follow=True))
    bench.hands("disconnect pack")
    bench.wait(1.0)
    bench.hands("moved")
    bench.device.power_up(bench.now)
    bench.wait(1.5)
    assert bench.hands("moved") == {}


# Sticks


def test_sticks_move_the_arms_together_and_apart(bench: Bench) -> None:
    bench.set("channel-2", 1800)
    bench.wait(1)
    assert bench.angle("left") == bench.angle("right") == pytest.approx(21)
    bench.set("channel-2", 1500)
    bench.set("channel-4", 2000)
    bench.wait(1)
    assert bench.angle("left") == pytest.approx(21), "nose right: left forward"
    assert bench.angle("right") == pytest.approx(-21)
    bench.set("channel-4", 1504)
    assert bench.pulse(3) == 1500, "inside the dead band"


def test_a_radio_channel_has_its_own_middle_ends_and_direction(bench: Bench) -> None:
    put(bench, radio__channel2__centre_us="1520", radio__channel2__high_us="1920")
    bench.set("channel-2", 1720)
    assert bench.pulse(3) == pytest.approx(1500 + 175)
    put(bench, radio__channel2__direction="reversed")
    assert bench.pulse(3) == pytest.approx(1500 - 175)
    bench.set("channel-2", 1520)
    assert bench.pulse(3) == 1500


def test_the_power_stick_runs_both_motors_and_roll_parts_them(bench: Bench) -> None:
    assert (bench.pulse(1), bench.pulse(2)) == (1000, 1000)
    bench.set("channel-3", 1500)
    assert bench.pulse(1) == bench.pulse(2) == pytest.approx(1527.5)
    bench.set("channel-1", 1600)
    assert bench.pulse(1) > bench.pulse(2), "left motor up rolls right"
    bench.wait(1)
    motors = bench.craft.airframe.motors
    assert motors["left"].rev_min > motors["right"].rev_min > 9000
    bench.ask("halt")
    bench.wait(1)
    assert motors["left"].rev_min == motors["right"].rev_min == 0


def test_a_board_at_rest_does_not_follow_the_sticks() -> None:
    bench = Bench()
    bench.set("channel-2", 2000)
    bench.set("channel-3", 2000)
    bench.wait(2)
    assert bench.hands("moved") == {}


# Attitude


def leaning(bench: Bench, name: str, value: str) -> Bench:
    bench.set("pitch", 0)
    bench.craft.outputs_live = False
    bench.craft.put(name, value)
    bench.go_live()
    bench.wait(1)
    bench.hands("moved")
    return bench


@pytest.mark.parametrize("name", ["level.self_levelling", "steady.on"])
def test_a_nose_that_is_tipped_down_sends_both_arms_aft(
    bench: Bench, name: str
) -> None:
    leaning(bench, name, "yes")
    bench.set("pitch", -10)
    bench.wait(1)
    moved = bench.hands("moved")
    assert set(moved) == {"tilt-left", "tilt-right"}
    assert bench.angle("left") == bench.angle("right") < -5
    bench.craft.put(name, "no")
    bench.ask("feel")
    bench.wait(1)
    assert bench.angle("left") == pytest.approx(0)


def test_a_nose_that_is_pushed_left_sends_left_forward_and_right_aft(
    bench: Bench,
) -> None:
    leaning(bench, "steady.on", "yes")
    bench.set("yaw", bench.craft.physical["yaw"] - 10)
    bench.wait(1)
    assert bench.angle("left") > 5
    assert bench.angle("right") < -5


def test_a_turning_nose_moves_the_arms(bench: Bench) -> None:
    leaning(bench, "steady.on", "yes")
    bench.set("pitch-rate", -40)
    bench.wait(1)
    assert bench.angle() < -2


def test_with_the_right_side_down_the_right_motor_works_harder(bench: Bench) -> None:
    leaning(bench, "level.self_levelling", "yes")
    bench.set("channel-3", 1500)
    bench.set("roll", 10)
    assert bench.pulse(2) > bench.pulse(1) + 50


def test_with_all_that_off_a_tipped_board_moves_nothing(bench: Bench) -> None:
    bench.hands("moved")
    bench.set("pitch", -20)
    bench.set("yaw", 90)
    bench.set("yaw-rate", 90)
    bench.wait(1)
    assert bench.hands("moved") == {}


def test_a_driven_output_does_not_care_how_the_board_is_held(bench: Bench) -> None:
    leaning(bench, "level.self_levelling", "yes")
    bench.drive(1600, seconds=0.5)
    bench.set("pitch", -10)
    bench.wait(0.5)
    assert bench.angle() == pytest.approx(10)
    assert bench.angle("right") < -5


# Orders that end


@pytest.mark.parametrize(
    ("how", "holds_ms", "over_ms"),
    [(Expiry.KEPT, 299, 300), (Expiry.LONG, 2399, 2400), (Expiry.ABSENT, 600_000, 0)],
)
def test_how_a_board_ends_what_it_drives(
    how: Expiry, holds_ms: int, over_ms: int
) -> None:
    bench = Bench(Options(expiry=how))
    started_us = bench.now
    bench.ask("whirl left at 10 for 300")
    bench.now = started_us + holds_ms * 1000
    assert bench.craft.drives.power("left", bench.now) == 0.1
    bench.craft.outputs.settle(bench.now)
    assert bench.craft.airframe.motors["left"].rev_min > 2000
    if over_ms:
        bench.now = started_us + over_ms * 1000
        assert bench.craft.drives.power("left", bench.now) == 0
    else:
        bench.ask("halt")
    bench.wait(0.1)
    bench.craft.outputs.settle(bench.now)
    assert bench.craft.airframe.motors["left"].rev_min == 0


def test_how_it_ends_orders_is_chosen_at_the_start_or_later() -> None:
    options = parse_options(["--expiry", "absent", "--tilts-follow"])
    assert options.expiry is Expiry.ABSENT
    assert options.tilts_follow
    bench = Bench(options)
    assert bench.hands("expiry kept") == {"expiry": "kept"}
    bench.ask("swing p3 to 1600 for 300")
    bench.wait(0.3)
    assert bench.pulse(3) != 1600


# Armed or not


def test_it_arms_only_when_nothing_holds_it_back() -> None:
    bench = Bench()
    bench.set("channel-3", 1400)
    bench.set("roll", 40)
    bench.hands("disconnect pack")
    with pytest.raises(RefusalError) as caught:
        bench.hands("arm")
    assert str(caught.value) == (
        "it does not arm: no radio link, level not set, power stick not low, "
        "leaning too far, no pack"
    )
    assert "holding back: no pack" in bench.ask("state")
    bench.set("channel-3", 1000)
    bench.set("roll", 2)
    bench.hands("connect pack 13.0")
    bench.hands("radio on")
    bench.ask("let level.set be yes")
    with pytest.raises(RefusalError, match=r"arm: pack is low$"):
        bench.hands("arm")
    bench.hands("connect pack 16.0")
    assert bench.hands("arm") == {"armed": True}
    assert "outputs   live" in bench.ask("state")
    assert bench.hands("disarm") == {"armed": False}
    assert "outputs   resting" in bench.ask("state")


def test_a_restart_lets_go_of_everything(bench: Bench) -> None:
    bench.set("channel-3", 1500)
    bench.wait(1)
    bench.device.power_up(bench.now)
    bench.wait(1)
    assert {bench.pulse(pad) for pad in range(1, 13)} == {0}
    assert bench.craft.airframe.motors["left"].rev_min == 0


def test_a_board_that_starts_and_never_comes_back_has_let_go(bench: Bench) -> None:
    bench.set("channel-3", 1500)
    bench.craft.power_up(bench.now)
    servos = bench.craft.airframe.servos
    assert servos["left"].doing is servos["right"].doing is Doing.LIMP
    assert bench.craft.airframe.motors["left"].amps == 0


@pytest.mark.parametrize("kind", list(ConsoleKind))
@pytest.mark.parametrize("settings", [60, 612])
def test_every_board_can_be_live(kind: ConsoleKind, settings: int) -> None:
    bench = Bench(Options(console=kind, settings=settings))
    bench.go_live()
    bench.set("channel-3", 1500)
    bench.wait(1)
    assert bench.craft.airframe.motors["left"].rev_min > 5000
    assert 1400 < bench.pulse(3) < 1600


# The orders of a running process


@pytest.fixture
def table() -> Iterator[Table]:
    options = Options()
    device = Device(options)
    table = Table(options, device, Announcement(None, console="wader", serial="1"))
    device.collect(5 * SECOND)
    yield table
    table.close()


def test_every_order_of_the_person_is_one_of_the_process(table: Table) -> None:
    now_us = 6 * SECOND
    assert obey(table, "jig left", now_us)["moving"] is False
    assert obey(table, "horn left +1", now_us) == {"tooth": 1}
    assert "none of left, right" in str(obey(table, "horn up 1", now_us)["error"])
    assert obey(table, "disconnect pack", now_us)["pack"] is False
    obey(table, "set channel-2 2000", now_us)
    obey(table, "outputs live", now_us)
    for setting in STILL:
        obey(table, f"put {setting} no", now_us)
    assert obey(table, "felt", now_us)["output-3"] == 1850


def test_the_cable_feeds_the_board_when_the_pack_is_out(table: Table) -> None:
    now_us = 6 * SECOND
    obey(table, "connect pack", now_us)
    obey(table, "unplug", now_us)
    assert obey(table, "power", now_us)["board"] is True
    obey(table, "replug", now_us)
    obey(table, "disconnect pack", now_us)
    obey(table, "unplug", now_us)
    assert obey(table, "power", now_us)["board"] is False
    assert table.device.boots == 1
    obey(table, "replug", now_us)
    assert obey(table, "power", now_us)["board"] is True
    assert table.device.boots == 2

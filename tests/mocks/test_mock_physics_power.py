"""The simulated motors, props and power."""

from collections.abc import Mapping

import pytest

from mocks.drives import TOP_REV_MIN
from mocks.options import Options
from tests.mocks.physics_bench import SECOND, Bench


@pytest.fixture
def bench() -> Bench:
    return Bench()


def speed(bench: Bench, side: str) -> float:
    bench.craft.outputs.settle(bench.now)
    return bench.craft.airframe.motors[side].rev_min


def speeds_told(bench: Bench) -> list[str]:
    said = bench.ask("feel").splitlines()
    return [line.split()[1] for line in said if "rev_min" in line]


# Motors


def test_a_motor_comes_to_its_speed_and_back_to_rest(bench: Bench) -> None:
    bench.ask("whirl left at 40 for 1000")
    bench.wait(0.039)
    assert speed(bench, "left") == pytest.approx(0.2 * TOP_REV_MIN, rel=0.03)
    bench.wait(0.1)
    assert speed(bench, "left") == pytest.approx(0.4 * TOP_REV_MIN, rel=0.001)
    assert speeds_told(bench)[1] == "0.00"
    assert float(speeds_told(bench)[0]) == pytest.approx(9600, rel=0.001)
    assert bench.craft.physical["current"] == pytest.approx(0.31 + 0.4 + 5 * 0.16)
    assert bench.craft.physical["pack-volts"] == pytest.approx(15.9 - 0.04 * 1.2)
    bench.wait(0.9)
    assert speed(bench, "left") > 0
    bench.wait(0.1)
    assert speed(bench, "left") == 0
    assert bench.craft.physical["current"] == pytest.approx(0.31)


def test_the_board_ramps_as_it_is_set(bench: Bench) -> None:
    bench.craft.put("motor.left.ramp_ms", "2000")
    bench.ask("whirl left at 50 for 2000")
    bench.wait(0.5)
    assert speed(bench, "left") == pytest.approx(0.25 * TOP_REV_MIN, rel=0.01)


def test_the_pair_turns_each_its_own_way_and_swapped_leads_reverse_one(
    bench: Bench,
) -> None:
    for side, way in (("left", "clockwise"), ("right", "anticlockwise")):
        bench.ask(f"whirl {side} at 10 for 300")
        bench.wait(1)
        moved = bench.hands("moved")
        assert moved == {f"motor-{side}": {"way": way, "rev_min": 2402}}
    bench.hands("motor right swapped yes")
    bench.ask("whirl right at 10 for 300")
    bench.wait(0.2)
    assert bench.hands("motors")["right"] == {
        "rev_min": pytest.approx(2402, abs=1),
        "way": "clockwise",
        "amps": 0.45,
    }
    bench.wait(1)
    bench.craft.put("motor.right.direction", "normal")
    bench.hands("moved")
    bench.ask("whirl right at 10 for 300")
    assert bench.wait(1) == ""
    assert "anticlockwise" in str(bench.hands("moved"))


def test_swapped_outputs_spin_the_other_motor_and_its_esc_tells_so(
    bench: Bench,
) -> None:
    bench.hands("swap p1 p2")
    bench.ask("whirl left at 10 for 500")
    bench.wait(0.3)
    assert float(speeds_told(bench)[0]) == pytest.approx(2400, rel=0.01)
    assert list(bench.hands("moved")) == ["motor-right"]


def test_a_pulse_on_the_pad_of_a_motor_spins_it(bench: Bench) -> None:
    bench.ask("swing p2 to 1200 for 500")
    bench.wait(0.3)
    assert speed(bench, "right") == pytest.approx(0.2 * TOP_REV_MIN, rel=0.01)


def test_an_esc_that_wants_a_low_signal_first(bench: Bench) -> None:
    bench.hands("motor left low-first yes")
    bench.hands("disconnect pack")
    bench.hands("connect pack")
    bench.ask("whirl left at 10 for 500")
    bench.wait(0.6)
    assert bench.hands("moved") == {}
    bench.ask("whirl left at 0 for 300")
    bench.wait(0.3)
    bench.ask("whirl left at 10 for 300")
    bench.wait(0.3)
    assert list(bench.hands("moved")) == ["motor-left"]
    bench.wait(2)
    bench.hands("moved")
    bench.ask("whirl left at 10 for 300")
    bench.wait(0.3)
    assert bench.hands("moved") == {}, "it was without a signal for too long"


def test_a_run_is_remembered_from_its_order_until_it_stands_still(
    bench: Bench,
) -> None:
    assert bench.hands("runs")["left"] == {"began_us": None, "stood_us": None}
    bench.ask("whirl left at 10 for 300")
    began = bench.hands("runs")["left"]
    assert isinstance(began, dict)
    assert began["stood_us"] is None
    bench.wait(1)
    over = bench.hands("runs")["left"]
    assert isinstance(over, dict)
    assert over["began_us"] == began["began_us"]
    assert over["stood_us"] - over["began_us"] == pytest.approx(325_000, abs=1000)


def test_a_latched_command_spins_the_motor_when_the_pack_goes_in(bench: Bench) -> None:
    bench.hands("disconnect pack")
    bench.hands("expiry absent")
    bench.ask("whirl left at 10 for 300")
    bench.wait(5)
    assert speed(bench, "left") == 0
    assert bench.hands("motors")["left"] == {"rev_min": 0, "way": "", "amps": 0}
    bench.hands("connect pack 16.4")
    bench.wait(0.3)
    assert speed(bench, "left") > 2000


# Props


def test_it_is_recorded_for_ever_that_a_motor_span_with_props_on(bench: Bench) -> None:
    bench.ask("whirl left at 10 for 300")
    bench.wait(1)
    assert bench.hands("props on")["ever-span-with-props"] is False
    bench.ask("swing p3 to 1600 for 300")
    bench.wait(1)
    assert bench.hands("props")["ever-span-with-props"] is False
    bench.ask("whirl right at 3 for 1")
    bench.wait(1)
    assert bench.hands("props off") == {"props": "off", "ever-span-with-props": True}
    bench.device.power_up(bench.now)
    bench.wait(2)
    assert bench.hands("props")["ever-span-with-props"] is True


def test_props_put_on_a_turning_motor_are_recorded(bench: Bench) -> None:
    bench.ask("whirl left at 10 for 300")
    bench.wait(0.4)
    assert bench.craft.drives.power("left", bench.now) == 0
    assert bench.hands("props on")["ever-span-with-props"] is False, "it stands again"
    bench.hands("props off")
    bench.ask("whirl left at 10 for 300")
    bench.wait(0.31)
    assert bench.craft.drives.power("left", bench.now) == 0
    assert bench.hands("props on")["ever-span-with-props"] is True, "it runs out"


def test_without_the_pack_nothing_spins_and_nothing_is_recorded(bench: Bench) -> None:
    bench.hands("disconnect pack")
    bench.hands("props on")
    bench.ask("whirl left at 10 for 300")
    bench.wait(1)
    assert bench.hands("props")["ever-span-with-props"] is False


# Power


def readings(bench: Bench) -> Mapping[str, object]:
    power = bench.hands("power")
    return {key: power[key] for key in ("pack-volts", "rail-volts", "current")}


def test_the_meters_follow_what_is_connected(bench: Bench) -> None:
    told = readings(bench)
    assert told == {"pack-volts": 15.9, "rail-volts": 5.02, "current": 0.31}
    bench.hands("disconnect pack")
    told = readings(bench)
    assert told == {"pack-volts": 0, "rail-volts": 0, "current": 0}
    assert "pack_v        0.00" in bench.ask("feel")
    bench.hands("connect rail 6.0 3")
    assert readings(bench)["rail-volts"] == 6.0
    bench.hands("connect pack 14.8 4")
    assert "pack_v        14.79" in bench.ask("feel")
    bench.hands("disconnect rail")
    assert readings(bench)["rail-volts"] == 5.02


def test_what_is_metered_can_be_pinned_and_freed(bench: Bench) -> None:
    bench.set("pack-volts", 12.0)
    bench.hands("disconnect pack")
    assert bench.craft.physical["pack-volts"] == 12.0
    assert bench.hands("free pack-volts") == {"pack-volts": 0.0}


def test_a_weak_bec_browns_the_board_out_and_what_was_not_kept_is_gone(
    bench: Bench,
) -> None:
    bench.hands("bec 5.0 0.8")
    bench.ask("let pack.reserve_pct be 35")
    bench.ask("swing p3 to 1800 for 900")
    assert bench.device.boots == 1, "one arm alone it can move"
    bench.ask("swing p4 to 1800 for 900")
    bench.wait(0.01)
    assert bench.device.boots == 2
    assert bench.hands("power")["brown-outs"] == 1
    assert bench.pulse(3) == 0
    assert "radio: waiting" in bench.wait(1)
    assert bench.craft.live["pack.reserve_pct"] == "20"
    assert bench.hands("power")["board"] is True


def test_a_stall_that_comes_later_browns_it_out_at_its_time(bench: Bench) -> None:
    bench.hands("bec 5.0 1.5")
    started_us = bench.now
    bench.ask("swing p3 to 2200 for 2000")
    due_us = bench.device.next_us(bench.now)
    assert due_us is not None
    assert due_us == pytest.approx(started_us + SECOND // 2, abs=500)
    bench.wait(0.49)
    assert bench.device.boots == 1
    bench.wait(0.02)
    assert bench.device.boots == 2


def test_a_bench_supply_on_the_rail_keeps_the_board_out_of_it(bench: Bench) -> None:
    bench.hands("disconnect pack")
    bench.hands("connect rail 5 0.5")
    bench.ask("swing p3 to 2200 for 900")
    bench.wait(0.7)
    assert bench.hands("power")["rail-volts"] == pytest.approx(1.15, abs=0.01)
    assert bench.device.boots == 1


def test_a_bench_supply_relieves_the_bec_of_the_board(bench: Bench) -> None:
    bench.hands("bec 5.0 0.5")
    bench.hands("connect rail 6 5")
    bench.drive(2200, seconds=0.7)
    assert bench.hands("power")["servo-amps"] == 2.0
    assert bench.craft.physical["current"] == pytest.approx(0.31)
    assert bench.device.boots == 1
    bench.hands("disconnect rail")
    bench.wait(0.01)
    assert bench.device.boots == 2


def test_without_pack_and_usb_the_board_is_off(bench: Bench) -> None:
    bench.hands("tilts follow")
    bench.hands("disconnect usb")
    assert "done" in bench.ask("halt")
    bench.hands("disconnect pack")
    assert bench.hands("power")["board"] is False
    assert bench.ask("halt") == ""
    assert bench.pulse(3) == 0
    assert bench.device.next_us(bench.now) is None
    bench.hands("connect usb")
    assert "radio: waiting" in bench.wait(1)
    assert "done" in bench.ask("halt")
    assert bench.device.boots == 2


def test_a_board_that_collapses_at_every_start_restarts_and_restarts() -> None:
    bench = Bench(Options(tilts_follow=True))
    bench.hands("bec 5.0 1.0")
    bench.craft.live["tilt.left.centre_us"] = "2050"
    bench.craft.keep()
    bench.ask("halt")
    bench.wait(10)
    assert 10 < bench.device.boots < 30


def test_a_pulse_at_rest_can_hold_a_weak_board_down(bench: Bench) -> None:
    bench.craft.put("output.p3.rest_us", "2100")
    bench.craft.keep()
    bench.drive(2050, seconds=0.7)
    bench.hands("bec 5.0 1.0")
    bench.wait(0.1)
    assert bench.device.boots > 20
    bench.hands("bec 5.0 5.0")
    assert bench.wait(1).endswith("@ ")

"""The simulated tilt servos: where the arm stands, and when."""

import pytest

from mocks.options import Options
from mocks.quantities import RefusalError
from mocks.servo import Make
from tests.mocks.physics_bench import SECOND, Bench


@pytest.fixture
def bench() -> Bench:
    return Bench()


def doing(bench: Bench, side: str = "left") -> object:
    bench.craft.outputs.settle(bench.now)
    return bench.craft.airframe.servos[side].doing.value


def test_an_arm_goes_where_its_slope_takes_it(bench: Bench) -> None:
    bench.hands("servo left slope-deg-us 0.098")
    bench.drive(1800)
    assert bench.angle() == pytest.approx(29.4)
    bench.drive(1300)
    assert bench.angle() == pytest.approx(-19.6)
    assert bench.angle("right") == 0


def test_an_arm_takes_its_time_at_one_speed(bench: Bench) -> None:
    bench.ask("swing p3 to 1800 for 2000")
    started_us = bench.now - 1000
    for ms in (50, 100, 250):
        bench.now = started_us + ms * 1000
        assert bench.angle() == pytest.approx(ms / 10, abs=0.02)
        assert doing(bench) == "moving"
    bench.wait(0.2)
    assert bench.angle() == pytest.approx(30)
    assert doing(bench) == "still"


def test_it_does_not_matter_how_often_one_looks() -> None:
    often, seldom = Bench(plain=False), Bench(plain=False)
    for bench in (often, seldom):
        bench.ask("swing p3 to 1777 for 900")
        bench.ask("whirl right at 30 for 400")
    end_us = often.now + 2 * SECOND
    for at in range(often.now, end_us, 7919):
        often.craft.outputs.settle(at)
    often.now = seldom.now = end_us
    assert often.angle() == pytest.approx(seldom.angle(), abs=1e-9)
    assert often.hands("moved") == seldom.hands("moved")


def test_a_reversed_servo_goes_the_other_way(bench: Bench) -> None:
    bench.hands("servo left reversed yes")
    bench.drive(1700)
    assert bench.angle() == pytest.approx(-20)


def test_a_horn_is_put_on_teeth_further(bench: Bench) -> None:
    bench.drive(1500)
    bench.hands("horn left +1")
    bench.wait(0.5)
    assert bench.angle() == pytest.approx(14.4)
    bench.hands("horn left -2")
    bench.wait(0.5)
    assert bench.angle() == pytest.approx(-14.4)
    bench.hands("servo left teeth 24")
    bench.wait(0.5)
    assert bench.angle() == pytest.approx(-15)


def test_a_nudge_inside_the_dead_band_does_nothing(bench: Bench) -> None:
    bench.hands("servo left dead-us 4")
    bench.drive(1500, seconds=0.3)
    bench.drive(1504, seconds=0.3)
    assert bench.angle() == 0
    bench.drive(1505, seconds=0.3)
    assert bench.angle() == pytest.approx(0.5)


def test_play_follows_the_last_direction_near_upright(bench: Bench) -> None:
    bench.hands("servo left play-deg 0.8")
    bench.drive(1400)
    bench.drive(1500)
    assert bench.angle() == pytest.approx(-0.4), "pushed forward, the arm trails"
    bench.drive(1600)
    bench.drive(1500)
    assert bench.angle() == pytest.approx(0.4)
    assert bench.angle(preload=1) == pytest.approx(0.4)
    assert bench.angle(preload=-1) == pytest.approx(-0.4)


def test_a_leaning_arm_flops_over_its_play(bench: Bench) -> None:
    bench.hands("servo left play-deg 0.8")
    bench.drive(1600)
    assert bench.angle() == pytest.approx(10.4), "its weight pulls it down"
    bench.drive(1500)
    assert bench.angle() == pytest.approx(0.4)
    bench.set("pitch", 20)
    assert bench.angle() == pytest.approx(-0.4), "nose up, it leans aft"


def test_a_stop_holds_the_arm_and_the_servo_draws_its_stall_current(
    bench: Bench,
) -> None:
    bench.drive(1990)
    assert bench.angle() == pytest.approx(49)
    assert doing(bench) == "still"
    assert bench.craft.physical["current"] == pytest.approx(0.31)
    bench.drive(2100)
    assert bench.angle() == pytest.approx(50)
    assert doing(bench) == "stalled"
    bench.craft.outputs.settle(bench.now)
    assert bench.hands("power")["servo-amps"] == 2.0
    assert bench.craft.physical["current"] > 0.9
    assert "rail_v        4.92" in bench.ask("feel")
    bench.drive(1500)
    assert bench.hands("power")["servo-amps"] == 0


def test_without_a_pulse_a_limp_arm_falls_if_it_leans(bench: Bench) -> None:
    bench.drive(1800, seconds=0.9)
    bench.ask("slack p3")
    assert doing(bench) == "falling"
    bench.wait(1)
    assert bench.angle() == pytest.approx(50)
    assert doing(bench) == "limp"
    bench.drive(1550, seconds=0.9)
    bench.ask("slack p3")
    bench.wait(1)
    assert bench.angle() == pytest.approx(5), "its gears hold it"


def test_a_holding_servo_stays_and_goes_on(bench: Bench) -> None:
    bench.hands("servo left limp no")
    bench.drive(1800)
    bench.ask("slack p3")
    bench.wait(1)
    assert bench.angle() == pytest.approx(30)
    assert doing(bench) == "holding"
    bench.drive(1800)
    assert doing(bench) == "still"


def test_on_usb_alone_servos_are_dead(bench: Bench) -> None:
    bench.hands("disconnect pack")
    bench.drive(1800)
    assert bench.angle() == 0
    assert doing(bench) == "dead"
    assert bench.pulse(3) == 1800, "the board does not know"
    bench.hands("connect rail 5.2")
    bench.wait(0.5)
    assert bench.angle() == pytest.approx(30)


def test_a_pulse_that_does_not_fit_its_frame_is_none(bench: Bench) -> None:
    bench.craft.put("tilt.left.rate_hz", "333")
    bench.hands("servo left stop-fore-deg 120")
    bench.drive(2500)
    assert bench.angle() == pytest.approx(100), "3003 us leave 503 us"
    bench.craft.put("tilt.left.rate_hz", "50")
    bench.drive(1500, seconds=1.5)
    bench.craft.live["tilt.left.rate_hz"] = "340"
    bench.drive(2500)
    assert doing(bench) == "limp"


def test_too_many_frames_a_second_heat_a_slow_servo(bench: Bench) -> None:
    bench.hands("servo left most-rate-hz 60")
    bench.drive(1600)
    assert bench.hands("power")["servo-amps"] == 0
    bench.craft.put("tilt.left.rate_hz", "100")
    bench.drive(1600)
    assert bench.hands("power")["servo-amps"] == pytest.approx(0.6)
    servos = bench.hands("servos")
    assert isinstance(servos["left"], dict)
    assert servos["left"]["overdriven"] is True


@pytest.mark.parametrize(
    "order",
    ["horn up 1", "horn left x", "servo left slope 1", "servo left play-deg -1", "jig"],
)
def test_an_order_that_makes_no_sense_is_refused(bench: Bench, order: str) -> None:
    with pytest.raises(RefusalError):
        bench.hands(order)


# What the person sees


def test_a_reader_is_off_by_a_little_the_same_for_one_seed() -> None:
    one, same = Bench(), Bench()
    reads = [one.hands("jig left")["deg"] for _ in range(400)]
    assert reads == [same.hands("jig left")["deg"] for _ in range(400)]
    numbers = [float(str(deg)) for deg in reads]
    mean = sum(numbers) / 400
    assert mean == pytest.approx(0, abs=0.05)
    sigma = (sum((n - mean) ** 2 for n in numbers) / 399) ** 0.5
    assert sigma == pytest.approx(0.25, abs=0.03)


def test_a_reader_says_fore_and_aft_and_rounds(bench: Bench) -> None:
    bench.hands("jig-sigma 0")
    bench.hands("jig-step 0.5")
    bench.drive(1587)
    assert bench.hands("jig left")["reads"] == "8.5 fore"
    bench.drive(1413)
    told = bench.hands("jig left")
    assert (told["reads"], told["true_deg"]) == ("8.5 aft", -8.7)
    bench.ask("swing p3 to 1500 for 900")
    assert bench.hands("jig left")["moving"] is True


def test_a_reader_can_press_the_arm_lightly(bench: Bench) -> None:
    bench.hands("jig-sigma 0")
    bench.hands("servo left play-deg 1")
    assert bench.hands("jig left fore")["deg"] == 0.5
    assert bench.hands("jig left aft")["deg"] == -0.5


def test_what_moved_is_told_once_with_its_way(bench: Bench) -> None:
    assert bench.hands("moved") == {}
    bench.drive(1600, pad=4)
    assert bench.hands("moved") == {
        "tilt-right": {"way": "fore", "fore_deg": 10.0, "aft_deg": 0.0}
    }
    assert bench.hands("moved") == {}
    bench.drive(1450, pad=4)
    bench.drive(1600, pad=4)
    assert bench.hands("moved") == {
        "tilt-right": {"way": "aft", "fore_deg": 0.0, "aft_deg": 15.0}
    }


def test_a_swapped_pair_moves_the_other_arm(bench: Bench) -> None:
    bench.hands("swap p3 p4")
    bench.drive(1600, pad=3)
    assert list(bench.hands("moved")) == ["tilt-right"]
    bench.hands("plug tilt-left p9")
    bench.drive(1400, pad=9)
    assert list(bench.hands("moved")) == ["tilt-left"]
    bench.hands("plug tilt-left nothing")
    bench.drive(1600, pad=9)
    assert bench.hands("moved") == {}


def test_every_servo_of_a_seed_is_another_and_always_the_same() -> None:
    def makes(seed: int) -> list[Make]:
        bench = Bench(Options(seed=seed), plain=False)
        return [servo.make for servo in bench.craft.airframe.servos.values()]

    assert len({*makes(1), *makes(2)}) == 4
    assert makes(2) == makes(2)

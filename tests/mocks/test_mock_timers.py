"""The timers behind the simulated pads, and what a shared rate does to a servo."""

from tests.mocks.physics_bench import Bench


def overdriven(bench: Bench, side: str) -> bool:
    servos = bench.hands("servos")
    told = servos[side]
    assert isinstance(told, dict)
    return bool(told["overdriven"])


def rate(bench: Bench, side: str) -> object:
    told = bench.hands("servos")[side]
    assert isinstance(told, dict)
    return told["rate_hz"]


def analogue() -> Bench:
    bench = Bench()
    for side in ("left", "right"):
        bench.hands(f"servo {side} most-rate-hz 60")
    return bench


def test_a_servo_beside_a_fast_motor_gets_its_rate_and_burns() -> None:
    bench = analogue()
    bench.ask("let output.p2.job be tilt-left")
    bench.ask("let output.p1.rate_hz be 400")
    bench.hands("plug tilt-left p2")
    bench.drive(1500, pad=2)
    assert rate(bench, "left") == 400
    assert overdriven(bench, "left")


def test_on_another_timer_it_keeps_its_own() -> None:
    bench = analogue()
    bench.ask("let output.p1.rate_hz be 400")
    bench.drive(1500)
    assert rate(bench, "left") == 50
    assert not overdriven(bench, "left")


def test_one_fast_tilt_takes_the_other_with_it() -> None:
    bench = analogue()
    bench.ask("let tilt.right.rate_hz be 200")
    bench.drive(1500)
    assert rate(bench, "left") == 200


def test_a_pad_without_a_job_asks_for_nothing() -> None:
    bench = analogue()
    bench.ask("let output.p4.job be nothing")
    bench.ask("let output.p4.rate_hz be 300")
    bench.drive(1500)
    assert rate(bench, "left") == 50


def test_the_last_pad_repeats_the_one_before() -> None:
    bench = Bench()
    bench.drive(1700, pad=11)
    assert (bench.pulse(11), bench.pulse(12)) == (1700, 1700)
    bench.ask("slack p11")
    bench.drive(1700, pad=12)
    assert (bench.pulse(11), bench.pulse(12)) == (0, 0)

"""What stands to see around the board, what was hidden in it, and the held stick."""

import pytest

from mocks.control import tell_hands
from mocks.device import Device
from mocks.options import Options, parse_options
from mocks.quantities import RefusalError
from tests.mocks.physics_bench import Bench

HIDDEN = ("--left-horn", "1", "--right-horn", "-2", "--swapped-motor", "right")


def test_a_fresh_bench_is_seen_as_it_is() -> None:
    device = Device(Options(settings=60))
    assert tell_hands(device, "look", 0) == {
        "pack": False,
        "supply": False,
        "usb": True,
        "props": False,
        "radio": False,
        "stick": "free",
        "plugs": {"motor-left": 1, "motor-right": 2, "tilt-left": 3, "tilt-right": 4},
        "faults": 0,
    }


@pytest.mark.parametrize(
    ("order", "key", "seen"),
    [
        ("connect pack", "pack", True),
        ("connect rail", "supply", True),
        ("props on", "props", True),
        ("radio on", "radio", True),
        ("stick back", "stick", "back"),
        ("set channel-2 1600", "stick", "between"),
    ],
)
def test_what_a_hand_does_is_seen(order: str, key: str, seen: object) -> None:
    bench = Bench()
    if order.startswith("set"):
        bench.craft.physical.set("channel-2", "1600")
    else:
        bench.hands(order)
    assert bench.hands("look")[key] == seen


def test_arms_that_follow_go_with_the_held_stick_and_back() -> None:
    bench = Bench(Options(tilts_follow=True))
    bench.wait(1)
    before = bench.angle()
    bench.hands("stick forward")
    bench.wait(1)
    assert bench.angle() > before + 20
    assert bench.craft.radio_link
    bench.hands("stick back")
    bench.wait(2)
    assert bench.angle() < before - 20
    bench.hands("stick free")
    bench.wait(1)
    assert bench.angle() == pytest.approx(before, abs=1)


def test_a_stick_goes_nowhere_else() -> None:
    with pytest.raises(RefusalError, match="none of forward, back, free"):
        Bench().hands("stick up")


def test_a_hidden_fault_is_there_from_the_start_and_can_be_mended() -> None:
    bench = Bench(parse_options(HIDDEN))
    assert bench.hands("hidden") == {
        "teeth": {"left": 1, "right": -2},
        "swapped": {"left": False, "right": True},
        "turns": {"left": "clockwise", "right": "clockwise"},
    }
    bench.drive(1500)
    assert bench.angle() == pytest.approx(360 / 25)
    bench.hands("horn left -1")
    bench.hands("leads right")
    hidden = bench.hands("hidden")
    assert hidden["teeth"] == {"left": 0, "right": -2}
    assert hidden["turns"] == {"left": "clockwise", "right": "anticlockwise"}


def test_a_horn_far_off_is_no_option(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        parse_options(["--left-horn", "13"])
    assert "--left-horn must be -12 to 12" in capsys.readouterr().err

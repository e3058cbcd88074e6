"""The real program in a real terminal, on a simulated aircraft, from the list of ports."""

import re
import signal
import termios
from pathlib import Path

import pytest

from tests.faces.jig_hand import JigHand, on_the_rail
from tests.faces.running import Aircraft, Workshop, aircraft
from tests.faces.screen.screen_job import AtScreen, Reply

FOLLOW = "--tilts-follow"
"""What the board drives by itself follows its settings: a centre can be proven."""
RIGHT_DEG = 1.0
"""The datum within half a degree, and half a degree of play."""
BASELINE = "baseline, proven by a restart"
CENTRE = "centre of both tilts"
ARM = re.compile(r"(?:the|Proof,) (left|right)\b")
"""Of which arm it speaks: the last words count."""


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


def replies(craft: Aircraft) -> dict[str, Reply | str]:
    """What a person at the jig answers."""
    hand = JigHand(craft)

    def side(text: str) -> str:
        hand.side = ARM.findall(text)[-1]
        return hand.side

    def watched(text: str) -> str:
        moved = craft.order("moved").get(f"tilt-{side(text)}")
        way = moved["way"] if isinstance(moved, dict) else "n"
        return "f" if way == "fore" else "a"

    return {
        r"Type 'hands clear' to go on": "hands clear",
        r"Type 'hands clear, props off' to go on": "hands clear, props off",
        r"Who works here": "builder",
        r"Tail number": "LW-03",
        r"servo of the (left|right) tilt": "",
        r"Go on with an unknown servo": "yes",
        r"Write .* values? to the board": "yes",
        r"Which way did it go": watched,
        r"The jig shows|What does the jig show": lambda text: hand.answer_reading(
            side(text)
        ),
    }


def true_deg(craft: Aircraft, side: str) -> float:
    servo = craft.order("servos")[side]
    assert isinstance(servo, dict)
    return float(servo["true_deg"])


@pytest.mark.timeout(60)
def test_from_the_list_of_ports_to_a_proven_baseline_and_two_centred_tilts(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, FOLLOW) as craft, AtScreen(workshop) as screen:
        screen.open()
        assert "wader, firmware 1.4.2, number 44CB-9325" in screen.text
        on_the_rail(craft)
        screen.begin(BASELINE)
        said = screen.carry_through(replies(craft))
        assert "Done." in said
        assert re.search(r"Done: \d+ values written, read back, .*restart", said)
        screen.back()
        assert re.search(rf"\[x\] done +{BASELINE}", screen.text)
        screen.begin(CENTRE)
        said = screen.carry_through(replies(craft))
        assert "Done." in said
        screen.back()
        assert re.search(rf"\[x\] done +{CENTRE}", screen.text)
        for side in ("left", "right"):
            assert abs(true_deg(craft, side)) <= RIGHT_DEG
            kept = f"tilt.{side}.centre_us"
            assert craft.order(f"kept {kept}")[kept] != "1500"
        screen.terminal.type("q")
        assert screen.terminal.end()[0] == 0
        assert b"Traceback" not in screen.terminal.shown


def test_a_talk_takes_the_terminal_and_gives_it_back_to_the_steps(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, "--settings", "80") as craft, AtScreen(workshop) as screen:
        screen.open()
        for _ in range(2):
            screen.terminal.type("t")
            screen.terminal.until("\nwader>")
            screen.terminal.type("..help\r")
            screen.terminal.until("Tab completes")
            screen.terminal.type("\x04")
            screen.terminal.until("All settings are as they were before.")
            screen.terminal.until("Enter goes back to the steps:")
            craft.order("reset-counters")
            screen.terminal.type("\r")
            screen.see_steps()
            assert craft.received() > 0
        screen.terminal.type("q")
        assert screen.terminal.end()[0] == 0
        assert termios.tcgetattr(screen.terminal.slave) == screen.terminal.before


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_in_a_talk_lets_go_of_the_board(
    workshop: Workshop, number: signal.Signals
) -> None:
    with aircraft(workshop, "--settings", "80"), AtScreen(workshop) as screen:
        screen.open()
        screen.terminal.type("t")
        screen.terminal.until("\nwader>")
        screen.terminal.process.send_signal(number)
        assert screen.terminal.end()[0] == 130
        assert b"Traceback" not in screen.terminal.shown
        assert workshop.run("identify").code == 0


def test_a_board_that_goes_in_a_talk_is_told_there_and_on_the_steps(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, "--settings", "80") as craft, AtScreen(workshop) as screen:
        screen.open()
        screen.terminal.type("t")
        screen.terminal.until("\nwader>")
        craft.order("unplug")
        screen.terminal.type("plate\r")
        screen.terminal.until("went away")
        screen.terminal.until("Enter goes back to the steps:")
        screen.terminal.type("\r")
        screen.terminal.until("BOARD GONE")
        assert b"Traceback" not in screen.terminal.shown


def test_a_terminal_made_too_small_says_so_and_recovers(workshop: Workshop) -> None:
    with aircraft(workshop, "--settings", "80"), AtScreen(workshop) as screen:
        screen.open()
        screen.terminal.resize(50, 10)
        screen.terminal.until("This window has 50 columns and 10 lines")
        screen.terminal.resize(80, 24)
        screen.see_steps()
        screen.begin(BASELINE)
        screen.terminal.resize(50, 10)
        screen.terminal.until("This window has 50 columns and 10 lines")
        screen.terminal.resize(80, 24)
        screen.terminal.until(BASELINE)
        assert b"Traceback" not in screen.terminal.shown


def test_whose_board_it_is_is_said_on_the_screen(workshop: Workshop) -> None:
    with aircraft(workshop, "--settings", "80"), AtScreen(workshop) as screen:
        screen.open()
        assert "no aircraft yet: a names" in screen.text
        screen.terminal.type("a")
        screen.terminal.until("Tail number of its aircraft")
        screen.terminal.type("LW-03\r")
        screen.terminal.until("Profile that it is built on")
        screen.terminal.type("\r")
        screen.terminal.until("Done.")
        screen.back()
        screen.terminal.until("paper   aircraft/LW-03")
        screen.terminal.type("q")
        assert screen.terminal.end()[0] == 0
    assert (workshop.folder / "aircraft" / "LW-03" / "aircraft.yaml").exists()

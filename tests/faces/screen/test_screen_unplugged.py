"""The cable falls out, on every page and at every kind of question of the real program."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.faces.jig_hand import JigHand, on_the_rail
from tests.faces.running import Aircraft, Workshop, aircraft
from tests.faces.screen.screen_job import PLUGGED_IN, AtScreen
from tests.faces.screen.test_screen_end_to_end import CENTRE, replies

FEW = ("--settings", "80", "--tilts-follow")
Stand = Callable[[AtScreen, Aircraft], None]


@pytest.fixture
def craft(tmp_path: Path) -> Iterator[tuple[Workshop, Aircraft]]:
    workshop = Workshop(tmp_path)
    with aircraft(workshop, *FEW) as started:
        yield workshop, started


def at_the_steps(screen: AtScreen, _: Aircraft) -> None:
    screen.open()


def at_the_values(screen: AtScreen, _: Aircraft) -> None:
    screen.open()
    screen.terminal.type("v")
    screen.terminal.until("two readings agree")


def asked_for_a_line(screen: AtScreen, _: Aircraft) -> None:
    screen.open()
    screen.begin(CENTRE)
    screen.terminal.until_met(lambda: bool(screen.question), "a question")


def asked_for_a_reading(screen: AtScreen, craft: Aircraft) -> None:
    screen.open()
    on_the_rail(craft)
    screen.begin(CENTRE)
    screen.carry_through(replies(craft), to="n to nudge")


def asked_for_keys(screen: AtScreen, craft: Aircraft) -> None:
    asked_for_a_reading(screen, craft)
    screen.answer("n")
    screen.terminal.until("the keys above")


def quits(screen: AtScreen) -> None:
    """Without a traceback, and as if nothing had been."""
    screen.terminal.type("q")
    assert screen.terminal.end()[0] == 0
    assert b"Traceback" not in screen.terminal.shown


def test_a_port_that_is_pulled_leaves_the_list(
    craft: tuple[Workshop, Aircraft],
) -> None:
    workshop, bench = craft
    with AtScreen(workshop) as screen:
        screen.terminal.until(PLUGGED_IN)
        bench.order("unplug")
        screen.terminal.until_gone(PLUGGED_IN)
        assert "Which board?" in screen.text
        quits(screen)


@pytest.mark.parametrize(
    ("stand", "said"),
    [(at_the_steps, "BOARD GONE"), (at_the_values, "PORT LOST")],
    ids=["steps", "values"],
)
def test_a_page_says_that_the_board_is_gone_and_leads_to_the_ports(
    craft: tuple[Workshop, Aircraft], stand: Stand, said: str
) -> None:
    workshop, bench = craft
    with AtScreen(workshop) as screen:
        stand(screen, bench)
        bench.order("unplug")
        screen.terminal.until(said)
        screen.terminal.type("p")
        screen.terminal.until("Which board?")
        quits(screen)


@pytest.mark.parametrize(
    ("stand", "answers"),
    [(asked_for_a_line, True), (asked_for_a_reading, False), (asked_for_keys, False)],
    ids=["line", "reading", "keys"],
)
def test_a_station_ends_with_a_sentence_keeps_nothing_and_the_steps_know(
    craft: tuple[Workshop, Aircraft], stand: Stand, *, answers: bool
) -> None:
    workshop, bench = craft
    kept = bench.order("kept tilt.left.centre_us")
    with AtScreen(workshop) as screen:
        stand(screen, bench)
        bench.order("unplug")
        if answers:
            screen.carry_through(replies(bench))
        screen.terminal.until("Not done: see above.")
        screen.terminal.settle()
        assert "went away" in screen.text
        screen.terminal.type("\r")
        screen.terminal.until("BOARD GONE")
        assert bench.order("kept tilt.left.centre_us") == kept
        quits(screen)


def test_a_station_that_ends_with_the_cable_says_where_the_readings_are(
    craft: tuple[Workshop, Aircraft],
) -> None:
    workshop, bench = craft
    with AtScreen(workshop) as screen:
        asked_for_a_reading(screen, bench)
        screen.answer(JigHand(bench).answer_reading("left"))
        screen.terminal.until_met(lambda: "n to nudge" in screen.question, "the next")
        bench.order("unplug")
        screen.terminal.until("Not done: see above.")
        screen.terminal.settle()
        assert "Nothing read is lost: 1 reading of the left arm, in" in screen.text
        (record,) = (workshop.folder / "records").iterdir()
        assert record.name in "".join(line.strip() for line in screen.text.split("\n"))
        bench.order("replug")
        screen.terminal.type("\r")
        screen.terminal.until("broken off at")
        quits(screen)


@pytest.mark.parametrize(
    ("stand", "gone", "again"),
    [
        (at_the_steps, "BOARD GONE", "of 19"),
        (at_the_values, "PORT LOST", "row "),
    ],
    ids=["steps", "values"],
)
def test_a_board_that_is_back_at_another_port_is_known_and_looked_at_anew(
    craft: tuple[Workshop, Aircraft], stand: Stand, gone: str, again: str
) -> None:
    workshop, bench = craft
    with AtScreen(workshop) as screen:
        stand(screen, bench)
        bench.order("unplug")
        screen.terminal.until(gone)
        screen.terminal.until("Waiting for the same board")
        port = bench.order("replug")["port"]
        screen.terminal.until(f"it is back at {port}: the same board")
        screen.terminal.until_gone(gone)
        assert again in screen.text
        quits(screen)


def test_another_board_in_its_place_is_named_and_only_the_first_one_is_taken(
    craft: tuple[Workshop, Aircraft],
) -> None:
    workshop, bench = craft
    number = bench.live()["board.number"]
    with AtScreen(workshop) as screen:
        screen.open()
        bench.order("unplug")
        screen.terminal.until("Waiting for the same board")
        bench.order('put board.number "0000-0005"')
        bench.order("replug")
        screen.terminal.until("number 0000-0005 answers")
        held = bench.live()
        assert "BOARD GONE" in screen.text
        screen.terminal.type("r")
        screen.terminal.until("at once")
        assert bench.live() == held
        bench.order(f"put board.number {number}")
        screen.terminal.type("r")
        screen.terminal.until("it is back at")
        quits(screen)


def test_whoever_waits_reaches_the_ports_at_once_and_stands_on_the_one_that_was_open(
    craft: tuple[Workshop, Aircraft],
) -> None:
    workshop, bench = craft
    with AtScreen(workshop) as screen:
        screen.open()
        bench.order("unplug")
        screen.terminal.until("Waiting for the same board")
        screen.terminal.type("p")
        screen.terminal.until("Which board?")
        screen.terminal.until_gone(PLUGGED_IN)
        bench.order("replug")
        screen.terminal.until(PLUGGED_IN)
        screen.terminal.type("\x1b[A" * 2)
        screen.open()
        screen.terminal.type("p")
        screen.terminal.until("Which board?")
        screen.terminal.until(PLUGGED_IN)
        (row,) = [line for line in screen.text.split("\n") if line.startswith(" > ")]
        assert PLUGGED_IN in row
        quits(screen)


def test_an_aircraft_that_is_switched_off_for_good_is_waited_for_until_the_person_goes(
    tmp_path: Path,
) -> None:
    workshop = Workshop(tmp_path)
    with AtScreen(workshop) as screen:
        with aircraft(workshop, *FEW) as bench:
            at_the_steps(screen, bench)
        screen.terminal.until("Waiting for the same board")
        screen.terminal.type("\x03")
        assert screen.terminal.end()[0] == 0
        assert b"Traceback" not in screen.terminal.shown

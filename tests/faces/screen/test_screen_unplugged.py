"""The cable falls out, on every page and at every kind of question of the real program."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.faces.running import Aircraft, Workshop, aircraft
from tests.faces.screen.screen_job import PLUGGED_IN, AtScreen
from tests.faces.screen.test_screen_end_to_end import CENTRE, on_the_rail, replies

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

"""Boards that ask before they are open, at the real program in a real terminal."""

from pathlib import Path

import pytest

from tests.faces.running import CHECKOUT, Workshop, aircraft
from tests.faces.screen.screen_job import PLUGGED_IN, AtScreen

SHIPPED = CHECKOUT / "profiles" / "consoles" / "wader.yaml"
OWN = "own-wader.yaml"


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


def test_a_login_is_typed_unseen_and_leads_to_the_steps(workshop: Workshop) -> None:
    board = ("--console", "dunlin", "--settings", "60")
    with aircraft(workshop, *board), AtScreen(workshop) as screen:
        screen.go_to(" > ", PLUGGED_IN)
        screen.terminal.type("\r")
        screen.terminal.until("User of the board:")
        screen.terminal.type("bench\r")
        screen.terminal.until("Word of that user:")
        screen.terminal.type("reed\r")
        screen.see_steps()
        assert "dunlin, firmware 1.4.2" in screen.text
        assert b"reed" not in screen.terminal.shown
        screen.terminal.type("q")
        assert screen.terminal.end()[0] == 0


def test_a_new_description_is_approved_on_the_screen(workshop: Workshop) -> None:
    (workshop.folder / OWN).write_bytes(SHIPPED.read_bytes())
    words = ("--console", OWN)
    with (
        aircraft(workshop, "--settings", "60") as craft,
        AtScreen(workshop, *words) as screen,
    ):
        screen.go_to(" > ", PLUGGED_IN)
        screen.terminal.type("\r")
        screen.terminal.until("Let it talk to the board at")
        screen.terminal.until("let {name} be {value}")
        assert craft.received() == 0
        screen.terminal.type("yes\r")
        screen.see_steps()
        screen.terminal.type("q")
        assert screen.terminal.end()[0] == 0
    assert (workshop.home / "consoles.yaml").exists()


def test_ctrl_c_at_a_login_goes_back_to_the_list(workshop: Workshop) -> None:
    board = ("--console", "dunlin", "--settings", "60")
    with aircraft(workshop, *board), AtScreen(workshop) as screen:
        screen.go_to(" > ", PLUGGED_IN)
        screen.terminal.type("\r")
        screen.terminal.until("User of the board:")
        screen.terminal.type("\x03")
        screen.terminal.until("NOT OPENED")
        screen.terminal.until("rehearse on a simulated aircraft")
        screen.terminal.type("q")
        assert screen.terminal.end()[0] == 0

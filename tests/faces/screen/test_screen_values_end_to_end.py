"""The values page of the real program in a real terminal, on a simulated aircraft."""

import re
from pathlib import Path
from typing import Final

import pytest

from tests.faces.running import Aircraft, Workshop, aircraft
from tests.faces.screen.screen_job import AtScreen, Reply

TAIL: Final = "LW-03"
APPLIED: Final = r"\n [ >] (\S+) +(\S+) +(\S+) .* apply"
"""Rows that would be written: name, now, wanted."""
ASKED: Final[dict[str, Reply | str]] = {
    r"Type 'hands clear' to go on": "hands clear",
    r"Write .* values? to the board": "yes",
    r"Why is it accepted": "the horn sits a tooth over",
}


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


def see_values(screen: AtScreen) -> None:
    """Wait until the board was read."""
    screen.terminal.until("two readings agree")


def unsearched(screen: AtScreen) -> None:
    """End a search; an escape close before a key would be another key."""
    if "names with" in screen.text:
        screen.terminal.type("\x1b")
        screen.terminal.until_gone("names with")


def on_row(screen: AtScreen, name: str) -> None:
    """Put the cursor on a setting, all others out of sight."""
    unsearched(screen)
    screen.terminal.type("/")
    screen.terminal.until("search: _")
    screen.terminal.type(f"{name}\r")
    screen.terminal.until(f"names with '{name}'")
    screen.terminal.until(f" > {name}")


def carried_out(screen: AtScreen, key: str, title: str) -> str:
    """Begin a station by its key, answer what it asks, and come back to the values."""
    screen.terminal.type(key)
    screen.terminal.until_met(
        lambda: screen.text.startswith(f" {title}"), f"the station {title!r}"
    )
    said = screen.carry_through(ASKED)
    screen.terminal.type("\r")
    see_values(screen)
    return said


def filtered(screen: AtScreen, key: str, shown: str) -> None:
    """Show other rows, whatever their names."""
    unsearched(screen)
    screen.terminal.type(key)
    screen.terminal.until(shown)


def kept(craft: Aircraft, *names: str) -> list[object]:
    """What the board has in its store; nothing where it was never written."""
    return [craft.order(f"kept {name}").get(name) for name in names]


@pytest.mark.timeout(120)
def test_one_left_one_waived_the_rest_applied_and_all_of_it_shown(
    workshop: Workshop,
) -> None:
    with aircraft(workshop) as craft:
        made = workshop.run("aircraft", TAIL, "--uses", "lapwing")
        assert made.code == 0, made.err
        with AtScreen(workshop) as screen:
            screen.open()
            screen.terminal.type("v")
            see_values(screen)
            assert "held against: LW-03" in screen.text
            filtered(screen, "1", "[1 <> differs")
            rows = re.findall(APPLIED, screen.text)[:3]
            left, waived, written = (name for name, _, _ in rows)
            now, wanted = [row[1] for row in rows], rows[-1][2]
            count = int(re.findall(r"apply (\d+), leave 0", screen.text)[0])
            leave_one_waive_one(screen, left, waived)
            screen.terminal.until(f"apply {count - 2}, leave 1")
            said = carried_out(screen, "\r", "Apply")
            assert f"Done: {count - 2} values written" in said
            screen.terminal.until("apply 0, leave 1")
            assert "[1 <> differs 1]" in screen.text
            assert "changed since" in screen.text
            assert kept(craft, left, waived, written) == [*now[:2], wanted]
            filtered(screen, "4", f" > {waived}")
            assert "the horn sits a tooth over" in screen.text
            screen.terminal.type("h")
            screen.see_steps()
            screen.terminal.type("q")
            assert screen.terminal.end()[0] == 0
            assert b"Traceback" not in screen.terminal.shown


def leave_one_waive_one(screen: AtScreen, left: str, waived: str) -> None:
    on_row(screen, left)
    screen.terminal.type(" ")
    screen.terminal.until("leave 1")
    on_row(screen, waived)
    assert "Done." in carried_out(screen, "w", "Waive")
    screen.terminal.until("4 ~~ waived 1")


def test_shift_turns_the_owners_back(workshop: Workshop) -> None:
    with aircraft(workshop, "--settings", "80"), AtScreen(workshop) as screen:
        screen.open()
        screen.terminal.type("v")
        see_values(screen)
        screen.terminal.type("o")
        screen.terminal.until("[baseline ")
        screen.terminal.type("O")
        screen.terminal.until("[all ")
        screen.terminal.type("O")
        screen.terminal.until("[unmanaged ")

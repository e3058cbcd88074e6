"""Another board on the cable while a change waits for ours: named, asked, left alone."""

import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from tests.faces.running import WITHIN_S, Aircraft, Workshop, aircraft, first_line
from tests.faces.test_interrupted_changes import SLOW, unfinished

OTHER: Final = '"0000-0005"'
NAMED: Final = "number 0000-0005 answers. Only questions go to that one; still waiting"


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


@pytest.fixture
def craft(workshop: Workshop) -> Iterator[Aircraft]:
    with aircraft(workshop, *SLOW) as flown:
        yield flown


def swapped(
    workshop: Workshop, craft: Aircraft, wait_s: int
) -> tuple[subprocess.Popen[str], dict[str, object]]:
    """A change whose cable hangs on another board by now, and what that one holds."""
    running = workshop.start("apply", "lapwing", "--yes", "--wait", str(wait_s))
    craft.await_word("let ")
    craft.order("unplug")
    while f"waiting {wait_s} s" not in first_line(running, of_errors=True):
        pass
    craft.order(f"put board.number {OTHER}")
    craft.order("replug")
    held = craft.live()
    while NAMED not in first_line(running, of_errors=True):
        pass
    return running, held


def test_when_the_cables_are_swapped_back_the_change_goes_on(
    workshop: Workshop, craft: Aircraft
) -> None:
    number = craft.live()["board.number"]
    running, held = swapped(workshop, craft, 30)
    assert craft.live() == held, "nothing is written to the other board"
    craft.order(f"put board.number {number}")
    out, err = running.communicate(timeout=WITHIN_S)
    assert running.returncode == 0, err
    assert err.count(NAMED) == 0, "it is named once"
    assert "the same board, read anew" in err
    assert "kept, and equal after the restart" in out
    assert unfinished(workshop) == []


def test_one_that_stays_is_named_at_the_end_and_holds_what_it_held(
    workshop: Workshop, craft: Aircraft
) -> None:
    running, held = swapped(workshop, craft, 4)
    _, err = running.communicate(timeout=WITHIN_S)
    assert running.returncode == 2
    assert "number 0000-0005 answers" in err
    assert "Plug the first board in" in err
    assert "`benchlink undo` puts the old values back" in err
    assert craft.live() == held
    assert len(unfinished(workshop)) == 1

"""A recording of a board on which something is unfinished: it can be read, not mended."""

from pathlib import Path
from typing import Final

import pytest

from tests.faces.running import WITHIN_S, Workshop, aircraft
from tests.faces.test_interrupted_changes import unfinished

CHANGE: Final = ("apply", "lapwing", "--yes", "--wait", "0")


def replaying(name: str) -> tuple[str, str]:
    return "--port", f"replay://{name}.jsonl"


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    """A change was interrupted by the cable, and recorded; so was a look after it."""
    workshop = Workshop(tmp_path)
    with aircraft(workshop, "--handling-us", "30000") as craft:
        running = workshop.start(*CHANGE, "--record", "change.jsonl")
        craft.await_word("let ")
        craft.order("unplug")
        running.communicate(timeout=WITHIN_S)
        craft.order("replug")
        workshop.run("identify", "--record", "look.jsonl")
    return workshop


def test_what_is_unfinished_is_told_of_the_board_and_not_of_the_recording(
    workshop: Workshop,
) -> None:
    said = workshop.run("identify", *replaying("look")).err
    assert said.startswith("This is a RECORDING, and nothing can be finished or undone")
    assert "The board itself was left with something unfinished: Lapwing" in said
    assert "benchlink resume" not in said


@pytest.mark.parametrize("verb", ["resume", "undo"])
def test_nothing_is_finished_or_undone_on_it(workshop: Workshop, verb: str) -> None:
    outcome = workshop.run(verb, "--yes", *replaying("look"))
    assert outcome.code == 2
    assert "nothing can be finished or undone on it" in outcome.err
    assert "Nothing reached a board. Plug in the board itself" in outcome.err
    assert len(unfinished(workshop)) == 1


def test_a_change_that_is_only_played_leaves_nothing_unfinished(
    workshop: Workshop,
) -> None:
    (before,) = unfinished(workshop)
    outcome = workshop.run(*CHANGE, *replaying("change"))
    assert outcome.code == 2
    assert "Nothing reached a board. A recording answers only" in outcome.err
    assert "power cycle" not in outcome.err
    assert "benchlink resume" not in outcome.err
    assert unfinished(workshop) == [before]

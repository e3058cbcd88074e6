"""A card that is looked for at a start only: two stages, cut off between them.

Real processes, real terminals; `log.card.on` is declared by the console as shipped.
"""

import signal
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from tests.faces.running import WITHIN_S, Aircraft, Workshop, aircraft
from tests.faces.test_interrupted_changes import killed, still_kept, unfinished

BOARD: Final = ("--settings", "60", "--card")
PROFILE: Final = """
benchlink-profile: 1
title: Marsh logger
layer: baseline
aircraft-type: twin-motor tilt-rotor
fits: {boards: [wader]}
settings:
  log.card.every: 2
  log.card.file: marsh
  log.card.on: on
"""
CARD: Final = {"log.card.on": "yes", "log.card.every": "2", "log.card.file": '"marsh"'}
STORY: Final = ("let", "keep", "restart")


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    (tmp_path / "marsh.yaml").write_text(PROFILE, "utf-8")
    return Workshop(tmp_path)


@pytest.fixture
def craft(workshop: Workshop) -> Iterator[Aircraft]:
    with aircraft(workshop, *BOARD) as flown:
        yield flown


def told(craft: Aircraft) -> list[str]:
    """What was written, kept and restarted, in order."""
    lines = craft.order("received")["received"]
    assert isinstance(lines, list)
    return [line for line in map(str, lines) if line.split(" ")[0] in STORY]


def card_of(values: dict[str, object]) -> dict[str, object]:
    return {name: values[name] for name in CARD}


def test_the_board_restarts_before_what_depends_is_written(
    workshop: Workshop, craft: Aircraft
) -> None:
    outcome = workshop.run("apply", "marsh.yaml", "--yes")
    assert outcome.code == 0, outcome.err
    assert "Two stages: log.card.on, kept, and a restart; then the rest" in outcome.out
    assert told(craft) == [
        *("let log.card.on be yes", "keep", "restart"),
        *("let log.card.every be 2", 'let log.card.file be "marsh"', "keep", "restart"),
    ]
    assert card_of(craft.order("kept")) == CARD


def test_without_the_restart_the_board_refuses_what_depends(
    workshop: Workshop, craft: Aircraft
) -> None:
    craft.order("set log.card.on yes")
    outcome = workshop.run("change", "log.card.every", "2", "--reason", "x", "--yes")
    assert outcome.code == 2
    assert "needs log.card.on yes first, from a start on" in outcome.err


def test_it_goes_off_together_with_what_depends_on_it(
    workshop: Workshop, craft: Aircraft
) -> None:
    before = craft.live()
    assert workshop.run("backup", "--out", "before.yaml").code == 0
    assert workshop.run("apply", "marsh.yaml", "--yes").code == 0
    outcome = workshop.run("restore", "before.yaml", "--yes")
    assert outcome.code == 0, outcome.err
    assert told(craft)[-3:] == ["let log.card.on be no", "keep", "restart"]
    assert craft.live() == before


MIDDLE: Final = (
    ("SETTLED", 1, "before"),
    ("SETTLED", 1, "after"),
    ("WRITING", 2, "after"),
)
"""The first stage is kept and restarted, and the second not begun, or just so."""


@pytest.mark.parametrize("ending", ["resume", "undo"])
@pytest.mark.parametrize(("mark", "stage", "when"), MIDDLE)
def test_killed_between_the_stages(
    workshop: Workshop, craft: Aircraft, mark: str, stage: int, when: str, ending: str
) -> None:
    before = craft.live()
    change = ("apply", "marsh.yaml", "--yes")
    assert killed(workshop, f"{mark} {stage}", when, *change) == -signal.SIGKILL
    kept = craft.order("kept")
    assert (kept["log.card.on"], kept["log.card.every"]) == ("yes", "4")
    finished_right(workshop, craft, ending, before)


def finished_right(
    workshop: Workshop, craft: Aircraft, ending: str, before: dict[str, object]
) -> None:
    assert len(unfinished(workshop)) == 1
    outcome = workshop.run(ending, "--yes")
    assert outcome.code == 0, outcome.err
    assert unfinished(workshop) == []
    if ending == "resume":
        assert card_of(craft.order("kept")) == card_of(craft.live()) == CARD
    else:
        assert craft.live() == before
        assert still_kept(craft.order("kept"), before)


@pytest.mark.parametrize("ending", ["resume", "undo"])
def test_the_cable_falls_out_between_the_stages(
    workshop: Workshop, ending: str
) -> None:
    with aircraft(workshop, *BOARD, "--handling-us", "30000") as craft:
        before = craft.live()
        running = workshop.start("apply", "marsh.yaml", "--yes", "--wait", "0")
        craft.await_word("let log.card.every")
        craft.order("unplug")
        _, err = running.communicate(timeout=WITHIN_S)
        assert running.returncode == 2
        assert "The board may have kept some of the new values" in err
        craft.order("replug")
        finished_right(workshop, craft, ending, before)


@pytest.mark.parametrize("mark", ["KEEPING", "RESTARTING", "SETTLED"])
def test_undoing_what_went_off_takes_a_restart_in_the_middle(
    workshop: Workshop, craft: Aircraft, mark: str
) -> None:
    assert workshop.run("backup", "--out", "before.yaml").code == 0
    assert workshop.run("apply", "marsh.yaml", "--yes").code == 0
    with_card = craft.live()
    restore = ("restore", "before.yaml", "--yes")
    assert killed(workshop, mark, "after", *restore) == -signal.SIGKILL
    outcome = workshop.run("undo", "--yes")
    assert outcome.code == 0, outcome.err
    assert craft.live() == with_card
    assert card_of(craft.order("kept")) == CARD

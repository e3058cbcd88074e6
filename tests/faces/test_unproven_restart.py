"""Exit code 3: done and read back, but nothing showed that it outlives a restart."""

import signal
from pathlib import Path
from typing import Final

import pytest

from benchlink.workflows.keeping import Proof
from tests.faces.running import Aircraft, Outcome, Workshop, aircraft
from tests.faces.test_interrupted_changes import killed, unfinished

BOARD: Final = ("--console", "scoter", "--settings", "60")
"""It says nothing when it starts, so that nobody can see whether it did."""
CAPACITY: Final = ":PACK:CAPACITY"
CHANGE: Final = ("change", CAPACITY, "1800", "--reason", "a big pack", "--yes")


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


def changed(workshop: Workshop) -> Outcome:
    return workshop.run(*CHANGE)


def capacity(craft: Aircraft) -> object:
    return craft.order("live")["pack.capacity_mah"]


def test_a_restart_that_nobody_saw_is_no_proof(workshop: Workshop) -> None:
    with aircraft(workshop, *BOARD) as craft:
        outcome = changed(workshop)
        assert outcome.code == 3, outcome.err
        assert "nothing shows that the board restarted" in outcome.out
        assert "power-cycle it and compare it again" in outcome.err
        assert capacity(craft) == "1800"


@pytest.mark.parametrize("ending", ["resume", "undo"])
def test_neither_is_one_behind_which_something_was_finished(
    workshop: Workshop, ending: str
) -> None:
    with aircraft(workshop, *BOARD) as craft:
        assert killed(workshop, "SETTLED", "before", *CHANGE) == -signal.SIGKILL
        outcome = workshop.run(ending, "--yes")
        assert outcome.code == 3, outcome.err
        assert unfinished(workshop) == []
        assert capacity(craft) == {"resume": "1800", "undo": "1550"}[ending]


def test_what_was_seen_to_restart_or_is_never_kept_needs_no_more_proof() -> None:
    assert {proof for proof in Proof if proof.proven} == {
        Proof.RESTARTED,
        Proof.EARLIER,
        Proof.FLEETING,
    }

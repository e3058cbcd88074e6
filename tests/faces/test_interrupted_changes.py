"""A cable that falls out, a process that is killed: real processes, real terminals.

Whatever was interrupted is said first by every verb, and finished or undone right.
"""

import json
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.faces.running import (
    WITHIN_S,
    Aircraft,
    Outcome,
    Workshop,
    aircraft,
    first_line,
)

SLOW = ("--handling-us", "30000")
BROKEN_OFF = "UNFINISHED: Lapwing, known-good baseline of"

KILLED_AT = """
import os, signal, sys
from benchlink.core.journal import Mark
from benchlink.faces import entry
from benchlink.store.journals import JournalFile

mark, _, stages = sys.argv.pop(1).partition(" ")
after = sys.argv.pop(1) == "after"
real = JournalFile.mark

def marking(self, now, stage=1):
    if after:
        real(self, now, stage)
    if now is Mark[mark] and stages in {"", str(stage)}:
        os.kill(os.getpid(), signal.SIGKILL)
    if not after:
        real(self, now, stage)

JournalFile.mark = marking
sys.exit(entry.main(sys.argv[1:]))
"""


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


def unfinished(workshop: Workshop) -> list[dict[str, object]]:
    outcome = workshop.run("unfinished", "--json")
    found = json.loads(outcome.out)["unfinished"]
    assert isinstance(found, list)
    return found


def killed(workshop: Workshop, mark: str, when: str, *words: str) -> int:
    """Run a verb in a process that is killed at a mark of its journal.

    `mark` may tell the stage as well: `SETTLED 1`.
    """
    return subprocess.run(
        [sys.executable, "-c", KILLED_AT, mark, when, *words],
        cwd=workshop.folder,
        env=workshop.environment,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        timeout=WITHIN_S,
        check=False,
    ).returncode


def cable_out_while_writing(workshop: Workshop, craft: Aircraft) -> Outcome:
    running = workshop.start("apply", "lapwing", "--yes", "--wait", "0")
    craft.await_word("let ")
    craft.order("unplug")
    out, err = running.communicate(timeout=WITHIN_S)
    return Outcome(code=running.returncode, out=out, err=err)


def test_a_cable_that_falls_out_is_told_and_remembered(workshop: Workshop) -> None:
    with aircraft(workshop, *SLOW) as craft:
        outcome = cable_out_while_writing(workshop, craft)
        assert outcome.code == 2
        assert "`benchlink undo` puts the old values back" in outcome.err
        assert "a power cycle brings the kept values back" in outcome.err
        craft.order("replug")
        for verb in (("identify",), ("compare", "lapwing"), ("backup",)):
            said = workshop.run(*verb).err
            assert said.splitlines()[0].startswith("UNFINISHED"), verb
            assert "benchlink resume" in said
        refused = workshop.run("apply", "lapwing", "--yes")
        assert refused.code == 2
        assert "left unfinished" in refused.err
    notes = [p.read_text("utf-8") for p in workshop.folder.glob("backups/*")]
    assert sum("taken while unfinished" in note for note in notes) == 1


def test_a_cable_that_falls_out_before_anything_was_written_is_told_so(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, "--baud", "38400") as craft:
        before = craft.live()
        running = workshop.start("apply", "lapwing", "--yes", "--wait", "0")
        craft.await_word("recite")
        craft.order("unplug")
        _, err = running.communicate(timeout=WITHIN_S)
        assert running.returncode == 2
        assert err.count("Nothing was written.") == 1
        assert "benchlink undo" not in err
        assert craft.live() == before
    assert unfinished(workshop) == []


def test_it_is_finished_by_resume(workshop: Workshop) -> None:
    with aircraft(workshop, *SLOW) as craft:
        cable_out_while_writing(workshop, craft)
        craft.order("replug")
        outcome = workshop.run("resume", "--yes")
        assert outcome.code == 0, outcome.err
        assert "as intended, kept, and equal after the restart" in outcome.out
        assert workshop.run("compare", "lapwing").code == 0
        assert unfinished(workshop) == []
        assert workshop.run("resume").err.endswith(
            "Nothing is unfinished on this board.\n"
        )


def test_it_is_reversed_by_undo(workshop: Workshop) -> None:
    with aircraft(workshop, *SLOW) as craft:
        before, kept = craft.live(), craft.order("kept")
        cable_out_while_writing(workshop, craft)
        craft.order("replug")
        outcome = workshop.run("undo", "--yes")
        assert outcome.code == 0, outcome.err
        assert "every old value is back" in outcome.out
        assert craft.live() == before
        assert craft.order("kept") == kept
        assert unfinished(workshop) == []


def test_a_cable_that_comes_back_in_time_is_waited_for(workshop: Workshop) -> None:
    with aircraft(workshop, *SLOW) as craft:
        running = workshop.start("apply", "lapwing", "--yes")
        craft.await_word("let ")
        craft.order("unplug")
        while "waiting 30 s" not in first_line(running, of_errors=True):
            pass
        craft.order("replug")
        out, err = running.communicate(timeout=WITHIN_S)
        assert running.returncode == 0, err
        assert "the same board, read anew" in err
        assert "kept, and equal after the restart" in out
        assert workshop.run("compare", "lapwing").code == 0
    assert unfinished(workshop) == []


def test_a_terminal_that_is_closed_puts_the_old_values_back(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, *SLOW) as craft:
        before = craft.live()
        running = workshop.start("apply", "lapwing", "--yes")
        craft.await_word("let ")
        running.send_signal(signal.SIGHUP)
        _, err = running.communicate(timeout=WITHIN_S)
        assert running.returncode == 130
        assert "every old value is back" in err
        assert craft.live() == before
    assert unfinished(workshop) == []


def still_kept(kept: dict[str, object], before: dict[str, object]) -> bool:
    """Whether the store holds the old values, or was never written at all."""
    return all(before[name] == value for name, value in kept.items())


MARKS = ("WRITING", "PROVEN", "KEEPING", "RESTARTING", "SETTLED", "DONE")


@pytest.mark.parametrize("ending", ["resume", "undo"])
@pytest.mark.parametrize("when", ["before", "after"])
@pytest.mark.parametrize("mark", MARKS)
def test_killed_at_every_mark(
    workshop: Workshop, mark: str, when: str, ending: str
) -> None:
    change = ("change", "pack.capacity_mah", "1800", "--reason", "a big pack", "--yes")
    with aircraft(workshop, "--settings", "60") as craft:
        before = craft.live()
        code = killed(workshop, mark, when, *change)
        assert code == -signal.SIGKILL
        if (mark, when) == ("DONE", "after"):
            assert unfinished(workshop) == []
            return
        assert len(unfinished(workshop)) == 1
        outcome = workshop.run(ending, "--yes")
        assert outcome.code == 0, outcome.err
        assert unfinished(workshop) == []
        if ending == "resume":
            kept_now = craft.order("kept pack.capacity_mah")
            assert kept_now == {"pack.capacity_mah": "1800"}
        else:
            assert craft.live() == before
            assert still_kept(craft.order("kept"), before)

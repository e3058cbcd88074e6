"""`rehearse`: the whole job without hardware, and nothing left behind."""

import json
import os
import re
import signal
from pathlib import Path

import pytest

from tests.faces.running import WITHIN_S, Workshop, clean, first_line


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


def test_in_a_pipe_the_whole_job_runs_and_its_backups_stay(workshop: Workshop) -> None:
    outcome = workshop.run("rehearse")
    assert outcome.code == 0
    assert clean(outcome.out + outcome.err)
    steps = [s for s in outcome.out.splitlines() if re.match(r"[1-5]/5 ", s)]
    assert steps == [
        "1/5 identify",
        "2/5 back up",
        "3/5 compare with Lapwing baseline",
        "4/5 apply",
        "5/5 compare again",
    ]
    assert outcome.out.endswith("   0 differ, 88 as intended, 524 left alone\n")
    assert len(list(workshop.folder.glob("rehearsal-*/*.backup.yaml"))) == 2
    assert list(workshop.simulated.iterdir()) == []


def test_a_small_or_moving_aircraft_is_told_apart(workshop: Workshop) -> None:
    outcome = workshop.run("rehearse", "--settings", "70", "--seed", "3")
    assert outcome.code == 2
    assert "settings cannot be brought to what is wanted" in outcome.err
    assert "70 settings in " in outcome.out
    assert list(workshop.simulated.iterdir()) == []


def test_impossible_options_are_told_without_a_traceback(workshop: Workshop) -> None:
    outcome = workshop.run("rehearse", "--settings", "1")
    assert outcome.code == 2
    assert "the simulated aircraft did not start" in outcome.err
    assert "--settings must be 60 to 5000" in outcome.err


@pytest.mark.parametrize("ending", [signal.SIGTERM, signal.SIGINT])
def test_a_served_aircraft_is_found_and_ends_without_a_trace(
    workshop: Workshop, ending: signal.Signals
) -> None:
    serving = workshop.start("rehearse", "--serve", "--store", "lw.json")
    port = first_line(serving)
    (announcement,) = workshop.simulated.iterdir()
    pid = json.loads(announcement.read_text())["pid"]
    found = workshop.run("identify")
    serving.send_signal(ending)
    _, err = serving.communicate(timeout=WITHIN_S)
    assert f"port      {port}" in found.out
    assert serving.returncode == 0
    assert "Traceback" not in err
    assert not announcement.exists()
    with pytest.raises(ProcessLookupError):
        os.kill(pid, 0)

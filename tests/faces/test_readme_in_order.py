"""The steps of the README, from the first to a baseline of one's own, in their order."""

import re
import shlex
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from tests.faces.running import CHECKOUT, Workshop, aircraft

BEGINS, ENDS = "## The job, step by step", "`benchlink compare marsh.yaml`"
SHOWN: Final = re.compile(r"^    \$ benchlink (.+)$", re.MULTILINE)
BACKUP: Final = re.compile(r"backups/\S+\.yaml")
ELSEWHERE: Final = (
    *("rehearse", "restore first.yaml", "identify --aircraft"),
    *("outputs --wiggle", "centre", "throw", "trim", "spin", "talk"),
)
"""Steps for another terminal, another copy, another board, and hands at the aircraft."""
REFUSED: Final = ("pack.cells", "tilt.left.centre_us", "motor.left.poles")
"""What the README changes to show a refusal."""


def steps() -> Iterator[str]:
    text = (CHECKOUT / "README.md").read_text("utf-8")
    job = text[text.index(BEGINS) : text.index(ENDS)]
    return (step for step in SHOWN.findall(job) if not step.startswith(ELSEWHERE))


def newest_backup(folder: Path) -> str:
    return str(max(folder.glob("backups/*"), key=lambda path: path.stat().st_mtime_ns))


def test_whoever_follows_them_from_top_to_bottom_succeeds(tmp_path: Path) -> None:
    workshop = Workshop(tmp_path)
    said = {}
    with aircraft(workshop):
        for step in steps():
            if BACKUP.search(step):
                step = BACKUP.sub(newest_backup(tmp_path), step)  # noqa: PLW2901
            outcome = workshop.run(*shlex.split(step))
            refused = any(name in step for name in REFUSED)
            assert (outcome.code == 2) is refused, f"{step}: {outcome.err}"
            said[step.split()[0]] = outcome.out
        assert "baseline  58 to give reasons for" in said["draft"]
        assert workshop.run("compare", "marsh.yaml").code == 0

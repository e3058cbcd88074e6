"""The main job from end to end, each step printed: for a pipe, and for a first look."""

import tempfile
from pathlib import Path

from benchlink.faces.changing import summary
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.wiring import Bench, Choice, journals, open_bench, records, stamp
from benchlink.faces.wording import counts_line
from benchlink.store.profiles import load_profile
from benchlink.workflows.apply import Shelves, apply
from benchlink.workflows.backup import back_up
from benchlink.workflows.compare import compare_board
from benchlink.workflows.planning import prepare

BASELINE = "lapwing"
STEPS = 5


def main_job(port: str, record: str | None = None) -> int:
    """Identify, back up, compare, apply, and compare again on a simulated aircraft."""
    person = PlainPerson()
    bench = open_bench(Choice(port=port, record=record, verb="rehearse"), person)
    try:
        same = _steps(bench, person)
    finally:
        bench.close()
    return ExitCode.SAME if same else ExitCode.TROUBLE


def _steps(bench: Bench, person: PlainPerson) -> bool:
    session, kept_in = bench.session, records(tempfile.mkdtemp(prefix="rehearsal-"))
    intent = load_profile(BASELINE)
    _say(1, "identify", f"{session.identity}, on {session.board.port}")
    kept = back_up(session, person, kept_in, stamp(bench, "rehearsal"))
    count = len(kept.backup.snapshot.settings)
    _say(2, "back up", f"{count} settings in {Path(kept.path)}")
    before = compare_board(session, person, intent).difference
    _say(3, f"compare with {intent.title}", counts_line(before))
    prepared = prepare(session, person, intent)
    shelves = Shelves(records=kept_in, journals=journals(person))
    applied = apply(prepared, person, shelves, stamp(bench), agreed=True)
    _say(4, "apply", "\n   ".join(summary(applied)))
    after = compare_board(session, person, intent).difference
    _say(5, "compare again", counts_line(after))
    return after.same


def _say(step: int, what: str, result: str) -> None:
    print(f"{step}/{STEPS} {what}\n   {result}", flush=True)

"""The whole job at the command line on one aircraft, each output looked at."""

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.faces.running import Aircraft, Outcome, Workshop, aircraft, clean

HEADER = "wader, firmware 1.4.2, number 44CB-9325"


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    outcomes: dict[str, Outcome]
    aircraft: Aircraft
    kept_at_first: dict[str, object]
    kept_at_last: dict[str, object]
    folder: Path


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Job]:
    workshop = Workshop(tmp_path_factory.mktemp("job"))
    first = "first.yaml"
    change = ("change", "pack.reserve_pct", "45", "--reason", "short legs only")
    steps: dict[str, tuple[str, ...]] = {
        "identify": ("identify",),
        "identify as json": ("identify", "--json"),
        "backup": ("backup", "--out", first, "--note", "as delivered"),
        "backup again": ("backup", "--out", first),
        "compare": ("compare", "lapwing"),
        "compare as json": ("compare", "lapwing", "--json"),
        "plan": ("apply", "lapwing", "--plan-only"),
        "unagreed": ("apply", "lapwing"),
        "apply": ("apply", "lapwing", "--yes", "--out", "kept"),
        "compare after": ("compare", "lapwing"),
        "apply again": ("apply", "lapwing", "--yes"),
        "plan again": ("apply", "lapwing", "--plan-only"),
        "change": (*change, "--yes", "--out", "kept"),
        "compare changed": ("compare", "lapwing", "--every"),
        "restore": ("restore", first, "--yes", "--out", "kept"),
        "compare restored": ("compare", first),
    }
    with aircraft(workshop) as craft:
        live = craft.live()
        outcomes = {}
        for step, words in steps.items():
            outcomes[step] = workshop.run(*words)
            if step in {"plan", "unagreed"}:
                assert craft.live() == live, f"{step} changed something"
        yield Job(
            outcomes=outcomes,
            aircraft=craft,
            kept_at_first=live,
            kept_at_last=craft.order("kept"),
            folder=workshop.folder,
        )


def test_every_step_ends_with_its_exit_code(job: Job) -> None:
    assert {step: outcome.code for step, outcome in job.outcomes.items()} == {
        "identify": 0,
        "identify as json": 0,
        "backup": 0,
        "backup again": 2,
        "compare": 1,
        "compare as json": 1,
        "plan": 1,
        "unagreed": 2,
        "apply": 0,
        "compare after": 0,
        "apply again": 0,
        "plan again": 0,
        "change": 0,
        "compare changed": 1,
        "restore": 0,
        "compare restored": 0,
    }


def test_the_board_is_in_the_end_exactly_as_it_was(job: Job) -> None:
    names = job.kept_at_last
    assert len(names) > 600
    assert names == {name: job.kept_at_first[name] for name in names}


def test_nothing_that_is_printed_can_act_on_a_terminal(job: Job) -> None:
    assert all(clean(o.out + o.err) for o in job.outcomes.values())


def test_identify_names_the_board_and_what_holds_it_back(job: Job) -> None:
    assert job.outcomes["identify"].out.splitlines() == [
        "board     wader",
        "firmware  1.4.2",
        "number    44CB-9325",
        f"port      {job.aircraft.port}",
        "outputs   at rest",
        "          held back: no radio link",
        "          held back: level not set",
        "          held back: no pack",
    ]
    assert job.outcomes["identify"].err == ""


def test_identify_as_json_goes_alone_to_stdout(job: Job) -> None:
    assert json.loads(job.outcomes["identify as json"].out) == {
        "board": {
            "type": "wader",
            "firmware": "1.4.2",
            "number": "44CB-9325",
            "grade": "one of a kind",
        },
        "port": job.aircraft.port,
        "aircraft": None,
        "outputs": {
            "live": False,
            "held_back_by": ["no radio link", "level not set", "no pack"],
        },
    }


def test_backup_says_where_the_copy_stands(job: Job) -> None:
    assert job.outcomes["backup"].out.splitlines() == [
        "backup    first.yaml",
        f"board     {HEADER}",
        "settings  612",
    ]
    text = (job.folder / "first.yaml").read_text()
    assert 'note: "as delivered"' in text
    assert "full-copy: yes" in text


def test_a_backup_is_never_overwritten(job: Job) -> None:
    again = job.outcomes["backup again"]
    assert again.out == ""
    assert "first.yaml is there already" in again.err
    assert "as delivered" in (job.folder / "first.yaml").read_text()


def test_compare_lists_what_differs_and_counts_it(job: Job) -> None:
    lines = job.outcomes["compare"].out.splitlines()
    assert lines[0] == f"{HEADER} against Lapwing baseline"
    assert lines[1] == "* 62 differ"
    assert lines[-1] == "62 differ, 26 as intended, 524 left alone"
    assert any(
        re.match(r"  pack\.reserve_pct +20 -> 30 +one missed landing$", line)
        for line in lines
    )


def test_compare_tells_who_owns_how_many_in_each_state(job: Job) -> None:
    lines = job.outcomes["compare"].out.splitlines()
    assert lines[-6:-1] == [
        "             differs  as intended  left alone",
        "  baseline        62           26           -",
        "  fitted           -            -         100",
        "  board            -            -          20",
        "  unmanaged        -            -         404",
    ]
    told = json.loads(job.outcomes["compare as json"].out)["owners"]
    assert told["baseline"] == {"differs": 62, "as intended": 26}


def test_compare_as_json_agrees_with_the_text(job: Job) -> None:
    told = json.loads(job.outcomes["compare as json"].out)
    assert not told["same"]
    assert told["counts"]["differs"] == 62
    assert len(told["settings"]) == 612
    (one,) = (s for s in told["settings"] if s["name"] == "pack.reserve_pct")
    assert (one["now"], one["wanted"], one["state"]) == ("20", "30", "differs")


def test_a_plan_is_shown_and_nothing_else_is_done(job: Job) -> None:
    plan = job.outcomes["plan"]
    assert plan.out.startswith(f"Plan for {HEADER}: 62 values\n")
    assert plan.err == ""
    assert not (job.folder / "backups").exists()


def test_a_plan_is_not_carried_out_unless_somebody_agrees(job: Job) -> None:
    refused = job.outcomes["unagreed"].err
    assert "the plan was not agreed to" in refused
    assert "Nothing was written." in refused


def test_apply_tells_its_steps_on_stderr_and_its_proof_on_stdout(job: Job) -> None:
    applied = job.outcomes["apply"]
    steps = applied.err.splitlines()
    assert steps[0].startswith("backed up to kept/")
    assert steps[1:] == [
        "keeping",
        (
            "restarting the board; pack out and servo rail dead by the board's own meters:"
            " nothing can move"
        ),
    ]
    proof = applied.out.splitlines()[-3:]
    assert proof[0] == (
        "Done: 62 values written, read back, kept, and equal after the restart;"
        " nothing else moved."
    )
    assert proof[1].startswith("Before: kept/")
    assert re.fullmatch(r"Now:    settings [0-9a-f]{12}", proof[2])


def test_a_board_that_holds_it_all_is_left_alone(job: Job) -> None:
    nothing = "Nothing to do: the board holds all of it now. Whether it would after a restart, only a restart shows.\n"
    assert job.outcomes["apply again"].out == nothing
    assert job.outcomes["plan again"].out == nothing
    after = job.outcomes["compare after"].out.splitlines()
    assert after[-1] == "0 differ, 88 as intended, 524 left alone"
    assert not any(line.startswith("*") for line in after)


def test_one_changed_value_is_found_with_its_reason_on_the_backup(job: Job) -> None:
    changed = job.outcomes["change"].out
    assert "Done: 1 value written" in changed
    assert re.search(r"pack\.reserve_pct +30 -> 45 +short legs only", changed)
    lines = job.outcomes["compare changed"].out.splitlines()
    assert lines[1] == "* 1 differs"
    assert lines[-1] == "1 differs, 87 as intended, 524 left alone"
    notes = [p.read_text() for p in (job.folder / "kept").iterdir()]
    note = 'note: "before pack.reserve_pct = 45: short legs only"'
    assert sum(note in text for text in notes) == 1


def test_a_restore_brings_the_first_backup_back(job: Job) -> None:
    assert "Done: 62 values written" in job.outcomes["restore"].out
    last = job.outcomes["compare restored"].out.splitlines()
    assert last[0].startswith(f"{HEADER} against backup of ")
    assert last[-1].startswith("0 differ, ")

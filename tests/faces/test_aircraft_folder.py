"""Aircraft with folders at the command line: made, greeted, compared, applied, swapped."""

import json
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.faces.running import Outcome, Workshop, aircraft, clean

THREE = "wader, firmware 1.4.2, number 44CB-9325"
SEED = ("--seed", "7")


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    outcomes: dict[str, Outcome]
    folder: Path

    def __getitem__(self, step: str) -> Outcome:
        return self.outcomes[step]


@pytest.fixture(scope="module")
def day(tmp_path_factory: pytest.TempPathFactory) -> Day:
    workshop = Workshop(tmp_path_factory.mktemp("fleet"))
    rate = ("change", "tilt.left.rate_hz", "80", "--reason", "a trial", "--yes")
    steps: dict[str, tuple[str, ...]] = {
        "none": ("aircraft",),
        "nothing named": ("compare",),
        "bad kit": ("aircraft", "LW-03", "--uses", "no-such-kit"),
        "made": (
            *("aircraft", "LW-03", "--title", "Lapwing 3"),
            *("--uses", "kit-estuary-16"),
        ),
        "shown": ("aircraft", "LW-03"),
        "taken": ("aircraft", "LW-04"),
        "all": ("aircraft", "--json"),
        "identify": ("identify",),
        "identify as json": ("identify", "--json"),
        "compare": ("compare",),
        "compare kit": ("compare", "--owner", "kit", "--json"),
        "wrong tail": ("compare", "--aircraft", "LW-09"),
        "apply": ("apply", "--yes"),
        "compare after": ("compare",),
        "baseline": ("apply", "lapwing", "--plan-only"),
        "trial": rate,
        "baseline after trial": ("apply", "lapwing", "--plan-only"),
        "backup": ("backup", "--note", "flown"),
        "backup elsewhere": ("backup", "--out", "elsewhere.yaml"),
    }
    with aircraft(workshop):
        outcomes = {step: workshop.run(*words) for step, words in steps.items()}
    return Day(outcomes=outcomes, folder=workshop.folder)


def test_every_step_ends_with_its_exit_code(day: Day) -> None:
    codes = {step: outcome.code for step, outcome in day.outcomes.items()}
    refused = {"nothing named", "bad kit", "taken", "wrong tail"}
    differs = {"compare", "compare kit", "baseline after trial"}
    assert codes == {
        step: 2 if step in refused else int(step in differs) for step in codes
    }
    assert all(clean(o.out + o.err) for o in day.outcomes.values())


def test_without_a_folder_a_profile_has_to_be_named(day: Day) -> None:
    assert "no profile was named" in day["nothing named"].err
    assert day["none"].out == "none in aircraft\n"


def test_a_new_aircraft_takes_the_board_at_the_bench(day: Day) -> None:
    lines = day["made"].out.splitlines()
    assert lines[0] == "aircraft  LW-03, Lapwing 3"
    assert lines[2] == f"board     {THREE}"
    assert lines[4].startswith("profile   aircraft/LW-03/fitted.yaml, asks for 120")
    assert day["shown"].out == day["made"].out
    assert f"board ({THREE}) belongs to LW-03" in day["taken"].err
    assert not (day.folder / "aircraft/LW-04").exists()


def test_the_fleet_can_be_read_by_a_program(day: Day) -> None:
    (only,) = json.loads(day["all"].out)
    assert (only["tail"], only["board"]["number"]) == ("LW-03", "44CB-9325")


def test_the_board_is_greeted_by_its_tail_number(day: Day) -> None:
    assert day["identify"].err == "This is LW-03, Lapwing 3.\n"
    assert "aircraft  LW-03, Lapwing 3" in day["identify"].out.splitlines()
    assert json.loads(day["identify as json"].out)["aircraft"] == "LW-03"


def test_compare_without_a_name_uses_all_its_layers(day: Day) -> None:
    lines = day["compare"].out.splitlines()
    assert lines[0] == f"LW-03: {THREE} against Lapwing 3 as fitted"
    assert [line.split() for line in lines if line.startswith("  kit ")] == [
        ["kit", "39", "-", "-"]
    ]
    told = json.loads(day["compare kit"].out)
    assert {s["owner"] for s in told["settings"]} == {"kit"}
    assert told["owners"] == {"kit": {"differs": 39}}


def test_apply_without_a_name_applies_all_its_layers(day: Day) -> None:
    assert "Done: 97 values written" in day["apply"].out
    assert day["compare after"].out.splitlines()[-1].startswith("0 differ, 120 as")


def test_a_baseline_does_not_reset_the_kit(day: Day) -> None:
    said = day["baseline"]
    assert (
        said.out
        == "Nothing to do: the board holds all of it now. Whether it would after a restart, only a restart shows.\n"
    )
    assert "as its own layers have it: tilt.left.rate_hz" in said.err
    again = day["baseline after trial"].out.splitlines()
    assert again[0].endswith(": 1 value")
    assert "tilt.left.rate_hz  80 -> 100" in again[1]


def test_backups_go_into_its_folder_unless_told_otherwise(day: Day) -> None:
    kept = sorted((day.folder / "aircraft/LW-03/backups").iterdir())
    assert len(kept) == 3
    assert all("_LW-03_44CB-9325" in path.name for path in kept)
    assert "aircraft  LW-03" in day["backup"].out.splitlines()
    assert (day.folder / "elsewhere.yaml").exists()
    assert not (day.folder / "backups").exists()


def test_an_unknown_tail_names_the_known_ones(day: Day) -> None:
    assert "there is no aircraft 'LW-09'" in day["wrong tail"].err
    assert "Known are: LW-03" in day["wrong tail"].err


def made(workshop: Workshop, tail: str) -> Outcome:
    return workshop.run("aircraft", tail, "--uses", "lapwing")


def test_a_board_that_was_replaced_is_asked_about_and_noted(tmp_path: Path) -> None:
    workshop = Workshop(tmp_path)
    with aircraft(workshop):
        assert made(workshop, "LW-03").code == 0
    with aircraft(workshop, *SEED):
        assert "aircraft" not in workshop.run("identify").out
        silent = workshop.run("identify", "--aircraft", "LW-03")
        assert silent.code == 2
        assert "nobody said that LW-03 has another board" in silent.err
        no = {"from now on?": "no"}
        assert (
            workshop.at_terminal("identify", "--aircraft", "LW-03", answers=no)[0] == 2
        )
        assert not (tmp_path / "aircraft/LW-03/boards").exists()
        yes = {"from now on?": "yes"}
        code, said = workshop.at_terminal(
            "identify", "--aircraft", "LW-03", answers=yes
        )
        assert code == 0
        assert f"LW-03 had {THREE}; this is wader" in said
        assert "aircraft  LW-03" in workshop.run("identify").out
    with aircraft(workshop):
        assert "aircraft" not in workshop.run("identify").out


def test_a_board_of_another_aircraft_is_named_before_anything_is_written(
    tmp_path: Path,
) -> None:
    workshop = Workshop(tmp_path)
    with aircraft(workshop, *SEED):
        assert made(workshop, "LW-05").code == 0
    with aircraft(workshop) as craft:
        assert made(workshop, "LW-03").code == 0
        live = craft.live()
        refused = workshop.run("apply", "--aircraft", "LW-05", "--yes")
        assert refused.code == 2
        assert f"this board ({THREE}) belongs to LW-03, not to LW-05" in refused.err
        assert craft.live() == live


def test_a_damaged_folder_stops_a_change_and_says_where(tmp_path: Path) -> None:
    workshop = Workshop(tmp_path)
    with aircraft(workshop) as craft:
        assert made(workshop, "LW-03").code == 0
        path = tmp_path / "aircraft/LW-03/aircraft.yaml"
        damaged = path.read_text().replace("profile:", "profil:")
        path.write_text(damaged)
        live = craft.live()
        refused = workshop.run("apply", "lapwing", "--yes")
        assert refused.code == 2
        assert "aircraft/LW-03/aircraft.yaml:7:1: " in refused.err
        assert (craft.live(), path.read_text()) == (live, damaged)


def test_the_fleet_may_stand_elsewhere(tmp_path: Path) -> None:
    workshop = Workshop(tmp_path)
    workshop.environment["BENCHLINK_AIRCRAFT"] = str(tmp_path / "marsh")
    with aircraft(workshop):
        assert made(workshop, "LW-03").code == 0
    assert (tmp_path / "marsh/LW-03/aircraft.yaml").exists()
    assert not (tmp_path / "aircraft").exists()

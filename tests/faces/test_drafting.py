"""A first baseline from an aircraft that flies well, at the command line."""

from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.faces.running import Outcome, Workshop, aircraft

FLOWN = {
    "pack.reserve_pct": "45",
    "tilt.left.centre_us": "1487",
    "craft.call": '"Lapwing 3"',
    "log.on": "no",
}
TITLE = ("--title", "Marsh baseline")


@dataclass(frozen=True, slots=True, kw_only=True)
class Drafts:
    outcomes: dict[str, Outcome]
    folder: Path


@pytest.fixture(scope="module")
def drafts(tmp_path_factory: pytest.TempPathFactory) -> Drafts:
    workshop = Workshop(tmp_path_factory.mktemp("drafts"))
    like = (*TITLE, "--like", "lapwing")
    steps: dict[str, tuple[str, ...]] = {
        "draft": ("draft", "marsh", *like),
        "lint": ("lint", "marsh.yaml"),
        "compare": ("compare", "marsh.yaml"),
        "draft again": ("draft", "marsh.yaml", *like),
        "backup": ("backup", "--out", "flown.yaml"),
        "from backup": ("draft", "two", *like, "--from", "flown.yaml"),
        "without a hint": ("draft", "three", *TITLE),
    }
    with aircraft(workshop) as craft:
        without = workshop.run("draft", "marsh", *TITLE)
        assert workshop.run("backup", "--factory", "--yes").code == 0
        for name, value in FLOWN.items():
            craft.order(f"put {name} {value}")
        outcomes = {step: workshop.run(*words) for step, words in steps.items()}
    return Drafts(
        outcomes={"without a fresh copy": without, **outcomes}, folder=workshop.folder
    )


def text(drafts: Drafts, name: str) -> str:
    return (drafts.folder / name).read_text()


def test_every_step_ends_with_its_exit_code(drafts: Drafts) -> None:
    assert {step: o.code for step, o in drafts.outcomes.items()} == {
        "without a fresh copy": 2,
        "draft": 0,
        "lint": 0,
        "compare": 0,
        "draft again": 2,
        "backup": 0,
        "from backup": 0,
        "without a hint": 0,
    }


def test_a_draft_needs_a_copy_of_a_fresh_board(drafts: Drafts) -> None:
    said = drafts.outcomes["without a fresh copy"].err
    assert "there is no copy of a fresh board (wader, firmware 1.4.2)" in said
    assert "`benchlink backup --factory`" in said


def test_a_draft_says_how_much_went_where(drafts: Drafts) -> None:
    assert drafts.outcomes["draft"].out.splitlines() == [
        "draft     marsh.yaml",
        "from      wader, firmware 1.4.2, number 44CB-9325",
        "baseline  2 to give reasons for",
        "kit       0 left to its kit",
        "fitted    2 left to the aircraft",
        "board     0 left to the board",
    ]


def test_the_aircrafts_own_is_a_comment_and_the_rest_asks_why(drafts: Drafts) -> None:
    draft = text(drafts, "marsh.yaml")
    assert '  - "tilt.*.centre_us"\n    # tilt.left.centre_us: 1487\n' in draft
    assert '  - "craft.call"\n    # craft.call: "Lapwing 3"\n' in draft
    assert draft.endswith(
        "settings:\n"
        "  # pack\n"
        '  pack.reserve_pct: {value: 45, group: pack, reason: ""}  # made as 20: why?\n'
        "  # log\n"
        '  log.on: {value: off, group: log, reason: ""}  # made as on: why?\n'
    )


def test_a_draft_is_a_good_profile_and_nothing_differs_from_it(drafts: Drafts) -> None:
    assert "'Marsh baseline', asks for 2 settings" in drafts.outcomes["lint"].out
    assert "0 differ, 2 as intended, 610 left alone" in drafts.outcomes["compare"].out


def test_a_draft_never_replaces_a_file(drafts: Drafts) -> None:
    assert "marsh.yaml is there already" in drafts.outcomes["draft again"].err


def test_a_backup_gives_the_same_draft_as_its_board(drafts: Drafts) -> None:
    def body(name: str) -> list[str]:
        lines = text(drafts, name).splitlines()
        return [line for line in lines if not line.startswith("# Drawn from")]

    assert body("two.yaml") == body("marsh.yaml")


def test_what_moves_is_the_aircrafts_own_without_any_hint(drafts: Drafts) -> None:
    draft = text(drafts, "three.yaml")
    assert "    # tilt.left.centre_us: 1487\n" in draft
    assert '  craft.call: {value: "Lapwing 3", group: craft, reason: ""}' in draft


def test_what_has_a_role_on_one_aircraft_is_its_own(drafts: Drafts) -> None:
    own = text(drafts, "three.yaml").partition("belongs-to-aircraft:")[2]
    assert '  - "level.set"\n' in own
    assert '"tilt.left.centre_us"' not in own, "a pattern holds it already"
    assert "rate_hz" not in own


def test_an_aircraft_with_layers_of_its_own_keeps_them_out_of_the_draft(
    tmp_path: Path,
) -> None:
    workshop = Workshop(tmp_path)
    with aircraft(workshop) as craft:
        workshop.run("backup", "--factory", "--yes")
        workshop.run("aircraft", "LW-03", "--uses", "kit-estuary-16")
        craft.order("put tilt.left.rate_hz 80")
        craft.order("put pack.reserve_pct 45")
        assert workshop.run("draft", "marsh", *TITLE).code == 0
        same = workshop.run("compare", "marsh.yaml")
        assert (same.code, "0 differ, 1 as intended" in same.out) == (0, True)
    draft = (tmp_path / "marsh.yaml").read_text()
    assert draft.endswith("# A kit decides these:\n#   tilt.left.rate_hz: 80\n")

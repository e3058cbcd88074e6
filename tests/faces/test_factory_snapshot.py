"""What a fresh board holds, kept once and held against every other one."""

import json
from pathlib import Path

from tests.faces.running import Workshop, aircraft

COPY = "home/factory/wader_1.4.2.backup.yaml"
RESET = ("backup", "--factory", "--reset")


def test_a_fresh_board_is_kept_on_the_persons_word(tmp_path: Path) -> None:
    workshop = Workshop(tmp_path)
    with aircraft(workshop) as craft:
        unsaid = workshop.run("backup", "--factory")
        assert (unsaid.code, (tmp_path / COPY).exists()) == (2, False)
        assert "nobody said that this board is fresh" in unsaid.err
        none = workshop.run("compare", "--factory")
        assert none.code == 2
        assert "there is no copy of a fresh board (wader, firmware 1.4.2)" in none.err
        live = craft.live()
        assert workshop.run("backup", "--factory", "--yes").code == 0
        assert (craft.live(), (tmp_path / COPY).exists()) == (live, True)
        assert workshop.run("compare", "--factory").code == 0


def test_compare_counts_what_differs_from_factory(tmp_path: Path) -> None:
    workshop = Workshop(tmp_path)
    with aircraft(workshop) as craft:
        workshop.run("backup", "--factory", "--yes")
        craft.order("put pack.reserve_pct 45")
        said = workshop.run("compare", "lapwing").out.splitlines()
        assert said[-1] == "1 differs from factory (`compare --factory`)"
        told = json.loads(workshop.run("compare", "lapwing", "--json").out)
        assert told["not_as_made"] == 1
        listed = workshop.run("compare", "--factory")
        assert listed.code == 1
        assert "pack.reserve_pct  45 -> 20" in listed.out


def test_a_second_copy_that_is_not_equal_is_refused(tmp_path: Path) -> None:
    workshop = Workshop(tmp_path)
    with aircraft(workshop) as craft:
        workshop.run("backup", "--factory", "--yes")
        before = (tmp_path / COPY).read_bytes()
        craft.order("put pack.reserve_pct 45")
        again = workshop.run("backup", "--factory", "--yes")
        assert again.code == 2
        assert "pack.reserve_pct: not the same in both" in again.err
        assert (tmp_path / COPY).read_bytes() == before


def test_a_reset_needs_a_typed_word_and_can_be_undone(tmp_path: Path) -> None:
    workshop = Workshop(tmp_path)
    with aircraft(workshop) as craft:
        craft.order("put pack.reserve_pct 45")
        live = craft.live()
        assert workshop.run(*RESET, "--yes").code == 2
        other = {"Type 'throw": "yes", "or Enter to stop": ""}
        assert workshop.at_terminal(*RESET, answers=other)[0] == 2
        assert (craft.live(), (tmp_path / COPY).exists()) == (live, False)
        code, said = workshop.at_terminal(*RESET, answers={"Type 'throw": "throw away"})
        assert code == 0
        assert "1 value changed as the board started over" in said
        assert craft.live()["pack.reserve_pct"] == "20"
        (before,) = (tmp_path / "backups").iterdir()
        assert workshop.run("restore", str(before), "--yes").code == 0
        assert craft.live() == live


def test_a_reset_goes_with_a_factory_copy_only(tmp_path: Path) -> None:
    refused = Workshop(tmp_path).run("backup", "--reset")
    assert (refused.code, refused.out) == (2, "")
    assert "`--reset` goes with `--factory` only" in refused.err


def test_a_damaged_copy_does_not_hide_what_else_differs(tmp_path: Path) -> None:
    workshop = Workshop(tmp_path)
    with aircraft(workshop):
        workshop.run("backup", "--factory", "--yes")
        copy = tmp_path / COPY
        copy.write_bytes(copy.read_bytes()[:-20])
        said = workshop.run("compare", "lapwing")
        assert said.code == 1
        assert "62 differ, " in said.out.splitlines()[-1]
        assert "is cut short or damaged" in said.err
        assert workshop.run("compare", "--factory").code == 2


def test_a_restore_leaves_out_what_cannot_be_told_and_says_so(tmp_path: Path) -> None:
    workshop = Workshop(tmp_path)
    with aircraft(workshop) as craft:
        assert workshop.run("backup", "--out", "first.yaml").code == 0
        before = craft.live()
        craft.order('put craft.remark "long arms"')
        craft.order("put pack.reserve_pct 45")
        restored = workshop.run("restore", "first.yaml", "--yes")
        assert restored.code == 2
        assert "Done: 1 value written" in restored.out
        assert restored.out.splitlines()[-1].startswith("  craft.remark: holds ';'")
        assert craft.live() == {**before, "craft.remark": '"long arms"'}
        again = workshop.run("restore", "first.yaml", "--yes")
        assert (again.code, "Nothing to do" in again.out) == (2, False)


def test_a_refused_value_is_reported_by_owner(tmp_path: Path) -> None:
    workshop = Workshop(tmp_path)
    with aircraft(workshop):
        words = ("change", "motor.left.poles", "99", "--reason", "x", "--yes")
        refused = workshop.run(*words)
        assert refused.code == 2
        lines = refused.out.splitlines()
        assert lines[2:4] == [
            "! 1 refused",
            "  motor.left.poles  14 -> 99  99 is above 36",
        ]
        assert "it refused: 99 is above 36" in refused.err

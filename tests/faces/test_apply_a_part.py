"""Some of a profile left as the board has it, at the command line."""

from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from tests.faces.running import Aircraft, Workshop, aircraft

PROFILE: Final = """benchlink-profile: 1
title: Trainer pack
layer: baseline
settings:
  pack.cells: 3
  pack.warn_v: 10.5
  pack.land_v: 9.9
  craft.mass_g: 1120
  craft.arm_span_mm: 640
"""
NAMES: Final = [line.split(":")[0].strip() for line in PROFILE.splitlines()[4:]]
APPLY: Final = ("apply", "trainer.yaml")
OLD: Final = {
    "pack.cells": "4",
    "pack.warn_v": "14.0",
    "craft.mass_g": "940",
    "craft.arm_span_mm": "620",
}


class Bench:
    """A workshop with a board that is switched on."""

    def __init__(self, workshop: Workshop, craft: Aircraft) -> None:
        self.workshop: Final = workshop
        self.run: Final = workshop.run
        self.craft: Final = craft

    def kept(self) -> dict[str, str]:
        """What the board holds of what is talked about, over a restart."""
        holds = self.craft.order("kept")
        return {name: str(holds.get(name, old)) for name, old in OLD.items()}

    def was_listed(self) -> bool:
        """Whether its settings were asked for."""
        lines = self.craft.order("received")["received"]
        assert isinstance(lines, list)
        return any(str(line).startswith("recite") for line in lines)

    def backups(self) -> list[Path]:
        return sorted((self.workshop.folder / "backups").glob("*"))


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    workshop = Workshop(tmp_path)
    (tmp_path / "trainer.yaml").write_text(PROFILE)
    with aircraft(workshop) as craft:
        yield Bench(workshop, craft)


def test_what_is_left_stays_and_is_told_once_and_written_on_the_copy(
    bench: Bench,
) -> None:
    left = ("--leave", "craft.mass_g", "--leave", "craft.arm_span_mm")
    done = bench.run(*APPLY, *left, "--yes", "--note", "for the trainer")
    assert done.code == 0, done.err
    assert "Done: 3 values written" in done.out
    words = "Left as the board has it, as you said: craft.mass_g, craft.arm_span_mm"
    assert (done.out + done.err).count(words) == 1
    assert "craft.mass_g  " not in done.out
    assert bench.kept() == {**OLD, "pack.cells": "3", "pack.warn_v": "10.5"}
    (copy,) = bench.backups()
    assert f'note: "for the trainer; {words}"' in copy.read_text()


def test_only_what_is_picked_is_written(bench: Bench) -> None:
    planned = bench.run(*APPLY, "--only", "craft.mass_g", "--plan-only")
    assert planned.code == 1
    assert "Only craft.mass_g, as you said; 4 others are left" in planned.err
    done = bench.run(*APPLY, "--only", "craft.mass_g", "--yes")
    assert done.code == 0, done.err
    assert "Done: 1 value written" in done.out
    assert bench.kept() == {**OLD, "craft.mass_g": "1120"}


def test_what_is_left_must_not_move_by_itself(bench: Bench) -> None:
    # This board works its limits out anew when the number of cells changes.
    done = bench.run(*APPLY, "--leave", "pack.warn_v", "--yes")
    assert done.code == 2
    assert "pack.warn_v: nobody asked for it, yet it went from 14.0" in done.err
    assert bench.kept() == OLD


@pytest.mark.parametrize("option", ["--leave", "--only"])
def test_a_name_that_is_not_asked_for_stops_it_before_anything_is_read(
    bench: Bench, option: str
) -> None:
    done = bench.run(*APPLY, option, "craft.mas_g", "--yes")
    assert done.code == 2
    assert "craft.mas_g: is craft.mass_g meant?" in done.err
    assert "Nothing was written." in done.err
    assert bench.backups() == []
    assert bench.kept() == OLD
    assert not bench.was_listed()
    bench.run("compare", "trainer.yaml")
    assert bench.was_listed()


def test_all_but_one_picked_is_one_left(bench: Bench) -> None:
    picked = [word for name in NAMES[1:] for word in ("--only", name)]
    planned = bench.run(*APPLY, *picked, "--plan-only")
    assert planned.code == 1
    assert "1 other is left as the board has it." in planned.err


def test_all_of_it_left_is_nothing_to_do(bench: Bench) -> None:
    done = bench.run(*APPLY, *(w for n in NAMES for w in ("--leave", n)))
    assert done.code == 0, done.err
    assert "Nothing to do" in done.out
    assert "pack.cells, pack.warn_v, pack.land_v, craft.mass_g" in done.err


def test_a_setting_that_the_board_lacks_can_be_left(bench: Bench) -> None:
    path = bench.workshop.folder / "trainer.yaml"
    path.write_text(PROFILE + "  no.such: 1\n")
    refused = bench.run(*APPLY, "--yes")
    assert refused.code == 2
    assert "the board has no such setting" in refused.err
    done = bench.run(*APPLY, "--leave", "no.such", "--yes")
    assert done.code == 0, done.err
    assert "Done: 5 values written" in done.out


def test_left_and_picked_together_make_no_sense(tmp_path: Path) -> None:
    words = ("--leave", "a", "--only", "b")
    done = Workshop(tmp_path).run(*APPLY, *words)
    assert done.code == 2
    assert "not allowed with argument" in done.err

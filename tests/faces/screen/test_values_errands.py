"""What the work thread brings to the values page, from a board in virtual time."""

from pathlib import Path

import pytest

from benchlink.errors import FileError, WrongBoardError
from benchlink.faces.at_board import AtBoard
from benchlink.faces.newest_copy import LOOKS_BACK, copies, kept, newest_copy
from benchlink.faces.screen.threads import errands
from benchlink.faces.screen.threads.rows import Row, Use
from benchlink.faces.screen.threads.values_facts import Standard, ValuesFacts
from tests.faces.screen.screen_bench import BenchBoard, lw03, wanted
from tests.faces.screen.values_bench import TODAY, at, keep_copy, lw03_aircraft

OTHER = "0000-0001"
"""Another board's number."""
LATER = TODAY.replace(month=5)
LAYER = """\
benchlink-profile: 1
title: LW-03 fitted
layer: fitted
settings:
  tilt.left.centre_us: 1512
waivers:
  tilt.left.centre_us: horn a tooth over
"""


@pytest.fixture(autouse=True)
def bench_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(errands, "now", lambda: TODAY)


def against_lw03(standing: AtBoard) -> ValuesFacts:
    return errands.values(standing, lambda: Standard(intent=lw03(), profile="lw"))


def row_of(facts: ValuesFacts, name: str) -> Row:
    return next(row for row in facts.rows if row.setting == name)


@pytest.mark.parametrize(
    ("name", "use"),
    [
        ("tilt.left.centre_us", Use.WRITES),
        ("tilt.nose.centre_us", Use.BLOCKS),
        ("motor.left.idle_pct", Use.MISTAKEN),
        ("mount.yaw_deg", Use.NOTHING),
        ("tilt.right.centre_us", Use.NOTHING),
        ("craft.call", Use.NOTHING),
    ],
)
def test_every_row_knows_what_applying_would_do_about_it(name: str, use: Use) -> None:
    assert row_of(against_lw03(at(BenchBoard())), name).use is use


def test_what_only_the_board_may_write_blocks_and_can_be_waived() -> None:
    asks = wanted("board.layout", "twin-fixed", quoted=True)
    intent = lw03()
    intent = type(intent)(title="", source="", wanted={asks.name: asks})
    facts = errands.values(at(BenchBoard()), lambda: Standard(intent=intent))
    assert row_of(facts, "board.layout").use is Use.BLOCKS


def test_the_copy_is_told_by_value_time_and_change() -> None:
    board = BenchBoard()
    keep_copy(board)
    board.set("tilt.left.centre_us", "1444")
    facts = against_lw03(at(board))
    assert facts.copied == "24 Feb 10:12"
    left, right = (row_of(facts, f"tilt.{s}.centre_us") for s in ("left", "right"))
    assert (left.now, left.copy, left.changed) == ("1444", "1500", True)
    assert (right.copy, right.changed) == ("1500", False)
    assert row_of(facts, "tilt.nose.centre_us").copy == "-"
    assert facts.gone == 0


def test_settings_of_the_copy_that_are_gone_are_counted() -> None:
    keep_copy(BenchBoard(settings=80))
    facts = against_lw03(at(BenchBoard(settings=60)))
    assert facts.gone == 20


def test_of_another_year_the_copy_tells_the_year(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    board = BenchBoard()
    keep_copy(board)
    monkeypatch.setattr(errands, "now", lambda: TODAY.replace(year=2027))
    assert against_lw03(at(board)).copied == "24 Feb 2026 10:12"


def test_the_newest_copy_of_this_board_is_taken_and_others_passed_over() -> None:
    keep_copy(BenchBoard())
    second = keep_copy(BenchBoard(), taken_at=TODAY)
    keep_copy(BenchBoard(), number=OTHER, taken_at=LATER)
    damaged = Path("backups/20990102T000000Z_wader_44CB-9325.backup.yaml")
    damaged.write_text("benchlink-backup: 99\n")
    found = newest_copy(at(BenchBoard()))
    assert found is not None
    assert found.path == second


def test_only_so_many_files_are_opened() -> None:
    keep_copy(BenchBoard())
    for day in range(1, LOOKS_BACK + 1):
        keep_copy(BenchBoard(), number=OTHER, taken_at=LATER.replace(day=day))
    standing = at(BenchBoard())
    assert newest_copy(standing) is None
    assert len(list(copies(standing, kept(standing)))) == 1


def test_a_copy_of_the_aircraft_counts_whichever_board_it_had(tmp_path: Path) -> None:
    aircraft = lw03_aircraft(tmp_path / "LW-03")
    path = keep_copy(BenchBoard(), f"{aircraft.folder}/backups", number=OTHER)
    found = newest_copy(at(BenchBoard(), aircraft))
    assert found is not None
    assert found.path == path
    assert newest_copy(at(BenchBoard())) is None


def test_nobodys_board_is_held_against_the_shipped_baseline_by_its_name() -> None:
    standing = at(BenchBoard())
    standard = errands.standard_of(standing, None)
    assert standard is not None
    assert standard.profile == "lapwing"
    assert errands.values(standing, lambda: standard).tail == ""


def test_an_aircrafts_board_is_held_against_its_own_layers_read_anew(
    tmp_path: Path,
) -> None:
    aircraft = lw03_aircraft(tmp_path)
    Path(aircraft.profile).write_text(LAYER)
    standing = at(BenchBoard(), aircraft)
    own = errands.standard_of(standing, None)
    assert own is not None
    assert (own.intent.title, own.profile) == ("LW-03 fitted", "")
    assert own.intent.waivers
    Path(aircraft.profile).write_text(LAYER.partition("waivers:")[0])
    again = errands.standard_of(standing, None)
    assert again is not None
    assert not again.intent.waivers
    assert errands.values(standing, lambda: again).tail == "LW-03"


def test_a_named_profile_is_named_to_apply_too(tmp_path: Path) -> None:
    named = tmp_path / "lw.yaml"
    named.write_text(LAYER)
    standard = errands.standard_of(at(BenchBoard()), str(named))
    assert standard is not None
    assert standard.profile == str(named)


@pytest.mark.parametrize(
    "error", [FileError("lw-03.yaml has mistakes"), WrongBoardError("made for others")]
)
def test_what_cannot_be_held_against_is_told_and_the_rows_are_there(
    error: FileError | WrongBoardError,
) -> None:
    def find() -> Standard:
        raise error

    facts = errands.values(at(BenchBoard()), find)
    assert facts.trouble is error
    assert not facts.compared
    assert len(facts.rows) == 60

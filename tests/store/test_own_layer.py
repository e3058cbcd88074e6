"""Waivers in the own file of one aircraft: checked first, written whole or not at all."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from benchlink.core.aircraft import Aircraft
from benchlink.core.identity import Identity
from benchlink.core.intent import Owner, overlaid
from benchlink.errors import BenchError, FileError, HeldError, UsageError
from benchlink.store import own_layer
from benchlink.store.aircraft_file import NotedBoard
from benchlink.store.aircraft_folder import AircraftFolder
from benchlink.store.locks import hold
from benchlink.store.profiles import load_profile

OWN = """benchlink-profile: 1
title: Lapwing 3 as fitted
layer: fitted
uses: [{uses}]

# what this one holds
settings:
  tilt.left.centre_us: 1487   # by the gauge
"""


@pytest.fixture
def aircraft(tmp_path: Path) -> Aircraft:
    noted = NotedBoard(
        tail="LW-03",
        since=datetime(2025, 3, 1, 10, 20, 30, tzinfo=UTC),
        board=Identity(board_type="wader", firmware="1.4.2", number="A1"),
        console="wader",
        console_hash="ab" * 32,
    )
    made = AircraftFolder(tmp_path / "aircraft").make(noted, "Lapwing 3", ["lapwing"])
    Path(made.profile).write_text(OWN.replace("{uses}", "lapwing"))
    return made


def read(aircraft: Aircraft) -> bytes:
    return Path(aircraft.profile).read_bytes()


def refused(
    aircraft: Aircraft, error: type[BenchError], does: Callable[[], None], words: str
) -> BenchError:
    before = read(aircraft)
    with pytest.raises(error, match=words) as caught:
        does()
    assert read(aircraft) == before
    names = {path.name for path in Path(aircraft.folder).iterdir()}
    assert names <= {"aircraft.yaml", "fitted.yaml", "backups", ".in-use"}
    return caught.value


def test_a_waiver_counts_from_then_on_and_not_once_it_is_lifted(
    aircraft: Aircraft,
) -> None:
    before = read(aircraft)
    own_layer.waive(aircraft, "pack.cells", "3S until Friday")
    assert read(aircraft) == before + b'waivers:\n  pack.cells: "3S until Friday"\n'
    waiver = load_profile(aircraft.profile).waivers["pack.cells"]
    assert waiver.reason == "3S until Friday"
    assert own_layer.waivable(aircraft, "pack.cells").waiver == waiver
    own_layer.lift(aircraft, "pack.cells")
    assert read(aircraft) == before


def test_it_counts_over_a_baseline_named_on_the_command_line_too(
    aircraft: Aircraft,
) -> None:
    own_layer.waive(aircraft, "pack.cells", "3S until Friday")
    over = overlaid(load_profile("lapwing"), load_profile(aircraft.profile))
    assert over.intent.layer is Owner.BASELINE
    assert over.waived == ("pack.cells",)


def test_what_no_layer_of_it_asks_for_is_refused(aircraft: Aircraft) -> None:
    error = refused(
        aircraft,
        UsageError,
        lambda: own_layer.waive(aircraft, "pack.cell", "why"),
        "no layer of LW-03 asks for 'pack.cell'",
    )
    assert error.details == ("is pack.cells meant?",)


def test_what_only_a_named_profile_asks_for_is_refused_too(aircraft: Aircraft) -> None:
    # Written, it would make every layer of the aircraft unusable.
    Path(aircraft.profile).write_text(OWN.replace("uses: [{uses}]\n", ""))
    assert "pack.cells" in load_profile("lapwing").wanted
    error = refused(
        aircraft,
        UsageError,
        lambda: own_layer.waive(aircraft, "pack.cells", "why"),
        "no layer of LW-03",
    )
    assert "`uses:`" in error.hint


def test_mistakes_in_a_layer_are_told_and_nothing_is_written(
    aircraft: Aircraft,
) -> None:
    Path(aircraft.profile).write_text(OWN.replace("{uses}", "no-such"))
    refused(
        aircraft,
        FileError,
        lambda: own_layer.waive(aircraft, "tilt.left.centre_us", "why"),
        "mistake",
    )


def test_a_waiver_of_what_is_asked_for_no_more_can_be_lifted(
    aircraft: Aircraft,
) -> None:
    text = OWN.replace("{uses}", "lapwing")
    Path(aircraft.profile).write_text(text + "waivers: {gone.name: old}\n")
    with pytest.raises(FileError) as caught:
        load_profile(aircraft.profile)
    assert "nothing to waive" in caught.value.problems[0].text
    own_layer.lift(aircraft, "gone.name")
    assert "gone.name" not in read(aircraft).decode()
    assert load_profile(aircraft.profile).waivers == {}


def test_a_waiver_of_a_layer_below_is_not_lifted_here(aircraft: Aircraft) -> None:
    below = Path(aircraft.folder).parent / "mine.yaml"
    below.write_text(
        "benchlink-profile: 1\ntitle: M\nlayer: kit\nuses: [lapwing]\n"
        "waivers: {pack.cells: old}\n"
    )
    Path(aircraft.profile).write_text(OWN.replace("{uses}", "../mine.yaml"))
    assert own_layer.waivable(aircraft, "pack.cells").waiver is not None
    error = refused(
        aircraft,
        UsageError,
        lambda: own_layer.lift(aircraft, "pack.cells"),
        "waives no 'pack.cells'",
    )
    assert "taken back there" in error.hint


def test_the_closest_waiver_is_named(aircraft: Aircraft) -> None:
    own_layer.waive(aircraft, "pack.cells", "why")
    error = refused(
        aircraft,
        UsageError,
        lambda: own_layer.lift(aircraft, "pack.cell"),
        "waives no 'pack.cell'",
    )
    assert error.details == ("is pack.cells meant?",)


@pytest.mark.parametrize("verb", ["waive", "lift"])
def test_another_benchlink_in_that_folder_is_not_disturbed(
    aircraft: Aircraft, verb: str
) -> None:
    own_layer.waive(aircraft, "pack.cells", "why")

    def does() -> None:
        if verb == "waive":
            own_layer.waive(aircraft, "pack.warn_v", "why")
        else:
            own_layer.lift(aircraft, "pack.cells")

    with hold(Path(aircraft.folder), "a benchlink that does something else"):
        refused(aircraft, HeldError, does, "does something else")
    does()


def test_a_disk_that_is_full_leaves_the_old_text(
    aircraft: Aircraft, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_source: Path, _target: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.replace", full)
    refused(
        aircraft,
        FileError,
        lambda: own_layer.waive(aircraft, "pack.cells", "why"),
        "No space left",
    )

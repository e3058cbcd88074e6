"""One folder an aircraft: plain text, one file an event, nothing ever overwritten."""

import errno
import os
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from benchlink.core.identity import Identity
from benchlink.core.intent import Owner
from benchlink.errors import FileError, UsageError
from benchlink.store.aircraft_file import NotedBoard, parse_aircraft, parse_board
from benchlink.store.aircraft_folder import AircraftFolder, backups_of
from benchlink.store.places import aircraft_folder
from benchlink.store.profile_edit import with_value
from benchlink.store.profiles import load_profile

WHEN = datetime(2025, 3, 1, 10, 20, 30, tzinfo=UTC)


def noted(tail: str = "LW-03", number: str = "A1", days: int = 0) -> NotedBoard:
    return NotedBoard(
        tail=tail,
        since=WHEN + timedelta(days=days),
        board=Identity(board_type="wader", firmware="1.4.2", number=number),
        console="wader",
        console_hash="ab" * 32,
    )


@pytest.fixture
def folder(tmp_path: Path) -> AircraftFolder:
    return AircraftFolder(tmp_path / "aircraft")


def test_there_is_no_aircraft_at_first(folder: AircraftFolder) -> None:
    assert folder.fleet() == ()
    assert not folder.root.exists()


def test_a_new_aircraft_is_plain_text(folder: AircraftFolder) -> None:
    folder.make(noted(), "Lapwing 3", ["kit-estuary-16"])
    assert (folder.root / "LW-03/aircraft.yaml").read_text() == (
        "benchlink-aircraft: 1\n"
        "tail: LW-03\n"
        'title: "Lapwing 3"\n'
        'made: "2025-03-01T10:20:30+00:00"\n'
        "board: {type: wader, firmware: 1.4.2, number: A1}\n"
        f"console: {{name: wader, hash: {'ab' * 32}}}\n"
        "profile: fitted.yaml\n"
    )


def test_an_aircraft_comes_back_as_it_was_made(folder: AircraftFolder) -> None:
    made = folder.make(noted(), 'the "long" one', [])
    folder.make(noted("LW-01", "B2"), "", [])
    assert [a.tail for a in folder.fleet()] == ["LW-01", "LW-03"]
    assert folder.fleet()[1] == made
    assert (made.title, made.board) == ('the "long" one', noted().board)


def test_its_own_layer_is_empty_and_stands_on_what_it_uses(
    folder: AircraftFolder, tmp_path: Path
) -> None:
    own = tmp_path / "mine" / "reed kit.yaml"
    own.parent.mkdir()
    own.write_text(
        "benchlink-profile: 1\ntitle: Reed\nlayer: kit\nuses: [lapwing]\n"
        "settings: {pack.cells: 3}\n"
    )
    made = folder.make(noted(), "Lapwing 3", [own])
    intent = load_profile(made.profile)
    assert (intent.title, intent.layer) == ("Lapwing 3 as fitted", Owner.FITTED)
    assert intent.wanted["pack.cells"].owner is Owner.KIT
    assert Owner.FITTED not in {w.owner for w in intent.wanted.values()}


def test_its_own_layer_can_be_filled_in_by_an_edit(folder: AircraftFolder) -> None:
    path = Path(folder.make(noted(), "", ["lapwing"]).profile)
    path.write_text(
        with_value(path.read_text(), "tilt.left.centre_us", "1487", "gauge")
    )
    wanted = load_profile(str(path)).wanted["tilt.left.centre_us"]
    assert (wanted.owner, wanted.reason) == (Owner.FITTED, "gauge")


def test_a_later_board_is_a_file_of_its_own(folder: AircraftFolder) -> None:
    folder.make(noted(), "", [])
    before = (folder.root / "LW-03/aircraft.yaml").read_bytes()
    after = folder.note_board(noted(number="B2", days=1))
    assert after.board.number == "B2"
    assert (folder.root / "LW-03/aircraft.yaml").read_bytes() == before
    (event,) = (folder.root / "LW-03/boards").iterdir()
    assert event.name == "20250302T102030Z_wader_B2.yaml"
    assert parse_board(event.read_bytes(), "x") == noted(number="B2", days=1)


def test_the_latest_board_counts_whatever_its_file_is_called(
    folder: AircraftFolder,
) -> None:
    folder.make(noted(), "", [])
    folder.note_board(noted(number="Z9", days=2))
    folder.note_board(noted(number="B2", days=1))
    (only,) = folder.fleet()
    assert only.board.number == "Z9"


def test_a_board_event_is_never_overwritten(folder: AircraftFolder) -> None:
    folder.make(noted(), "", [])
    folder.note_board(noted(number="B2", days=1))
    with pytest.raises(FileError, match="is there already"):
        folder.note_board(noted(number="B2", days=1))


@pytest.mark.parametrize("tail", ["LW-03", "lw-03"])
def test_a_tail_number_that_is_taken_is_refused(
    folder: AircraftFolder, tail: str
) -> None:
    folder.make(noted(), "first", [])
    with pytest.raises(UsageError, match="already"):
        folder.make(noted(tail, "B2"), "second", [])
    assert [a.title for a in folder.fleet()] == ["first"]


@pytest.mark.parametrize("tail", ["", "..", "a/b", "a b", "-x", "x\n", "é", "x" * 41])
def test_a_tail_number_has_to_name_a_folder(folder: AircraftFolder, tail: str) -> None:
    with pytest.raises(UsageError, match="cannot be a tail number"):
        folder.make(noted(tail), "", [])
    assert not folder.root.exists()


def test_a_half_made_folder_is_no_aircraft_and_can_be_finished(
    folder: AircraftFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = os.link

    def full(source: str, target: str) -> None:
        if str(target).endswith("aircraft.yaml"):
            raise OSError(errno.ENOSPC, "No space left on device")
        real(source, target)

    monkeypatch.setattr(os, "link", full)
    with pytest.raises(FileError, match="No space left"):
        folder.make(noted(), "", [])
    assert folder.fleet() == ()
    own = folder.root / "LW-03/fitted.yaml"
    own.write_text(own.read_text() + "# begun\n")
    monkeypatch.undo()
    folder.make(noted(), "", [])
    assert own.read_text().endswith("# begun\n")


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ("aircraft: 1", "aircraft: 2", 1, "must be 1"),
        ("tail: LW-03", "tail: LW-04", 1, "the folder is LW-03"),
        ('made: "2025', 'made: "x2025', 4, "must be a time with its offset"),
        ("+00:00", "", 4, "must be a time with its offset"),
        ("board: {type", "bord: {type", 5, "does not know `bord:`"),
        ("{type:", "{kind:", 5, "does not know `kind:`"),
        ("profile: fitted.yaml", 'profile: ""', 7, "is empty"),
    ],
)
def test_a_damaged_file_is_named_with_its_line_and_left_as_it_is(
    folder: AircraftFolder, old: str, new: str, line: int, words: str
) -> None:
    folder.make(noted(), "", [])
    path = folder.root / "LW-03/aircraft.yaml"
    damaged = path.read_text().replace(old, new)
    path.write_text(damaged)
    with pytest.raises(FileError) as caught:
        folder.fleet()
    assert any(
        p.place.file == str(path) and p.place.line == line and words in p.text
        for p in caught.value.problems
    )
    assert path.read_text() == damaged


def test_a_damaged_board_event_is_an_error_too(folder: AircraftFolder) -> None:
    folder.make(noted(), "", [])
    folder.note_board(noted(number="B2", days=1))
    (event,) = (folder.root / "LW-03/boards").iterdir()
    event.write_text("benchlink-board: 1\ntail: LW-03\n")
    with pytest.raises(FileError) as caught:
        folder.fleet()
    texts = [p.text for p in caught.value.problems]
    assert any("needs `since:`" in text for text in texts)
    assert any("needs `board:`" in text for text in texts)


def test_a_file_that_is_not_yaml_is_an_error() -> None:
    with pytest.raises(FileError) as caught:
        parse_aircraft(b"benchlink-aircraft: [1\n", "LW-03/aircraft.yaml")
    assert caught.value.problems[0].place.file == "LW-03/aircraft.yaml"


def test_backups_of_an_aircraft_go_into_its_folder(folder: AircraftFolder) -> None:
    made = folder.make(noted(), "", [])
    assert backups_of(made).kept() == ()
    assert (folder.root / "LW-03/backups").is_dir()


def test_the_aircraft_stand_here_unless_told_otherwise() -> None:
    assert aircraft_folder({}) == Path("aircraft")
    assert aircraft_folder({"BENCHLINK_AIRCRAFT": "/marsh/fleet"}) == Path(
        "/marsh/fleet"
    )

"""`lint`: every mistake of every file, with no board."""

from pathlib import Path

import pytest

from benchlink.faces.entry import main
from tests.faces.running import CHECKOUT

PROFILES = CHECKOUT / "profiles"

Capture = pytest.CaptureFixture[str]


def test_shipped_files_are_good(capsys: Capture) -> None:
    files = sorted(map(str, PROFILES.rglob("*.yaml")))
    assert main(["lint", *files]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    named = [line for line in said.out.splitlines() if not line.startswith(" ")]
    assert len(named) == len(files)
    assert "a profile, 'Lapwing baseline', asks for 88 settings" in said.out
    assert "a console description, identify, readiness, read" in said.out
    assert "a part, skiff-4, Skiff 4, the usual pack: 4 cells" in said.out


def test_every_bad_file_is_named_and_the_good_ones_are_still_read(
    tmp_path: Path, capsys: Capture
) -> None:
    bad, stranger = tmp_path / "bad.yaml", tmp_path / "notes.txt"
    bad.write_text(
        "benchlink-profile: 1\ntitle: Marsh\nlayer: marsh\n"
        "settings:\n  pack.cells: 4\n  pack.cells: 3\n"
    )
    stranger.write_text("reeds\n")
    good = PROFILES / "lapwing.yaml"
    files = [bad, stranger, tmp_path / "gone.yaml", good]
    assert main(["lint", *map(str, files)]) == 2
    said = capsys.readouterr()
    assert f"{bad}:6:3: " in said.err
    assert f"{stranger} is no file of benchlink's" in said.err
    assert "gone.yaml cannot be read: No such file" in said.err
    assert said.out.startswith(f"{good}: a profile")


def test_a_damaged_backup_is_bad(tmp_path: Path, capsys: Capture) -> None:
    file = tmp_path / "old.backup.yaml"
    file.write_text("benchlink-backup: 1\ncontent-hash: " + "0" * 64 + "\n")
    assert main(["lint", str(file)]) == 2
    assert "content hash differs" in capsys.readouterr().err


def test_a_bad_part_is_named_with_its_places(tmp_path: Path, capsys: Capture) -> None:
    file = tmp_path / "reed.yaml"
    file.write_text("benchlink-part: 1\nkind: pack\nname: raft\ntitle: Raft\ncels: 4\n")
    assert main(["lint", str(file)]) == 2
    said = capsys.readouterr().err
    assert f"{file}:5:1: a part does not know `cels:`; write `cells:`" in said
    assert f"{file}:1:1: a part needs `cells:`" in said


def test_what_a_file_holds_never_acts_on_a_terminal(
    tmp_path: Path, capsys: Capture
) -> None:
    file = tmp_path / "odd.yaml"
    file.write_text('benchlink-profile: 1\nlayer: "\\e[2J\\u202e"\n')
    assert main(["lint", str(file)]) == 2
    said = capsys.readouterr().err
    assert said
    assert "\x1b" not in said
    assert "\u202e" not in said


def test_lines_that_would_be_written_show_how_values_are_spelled(
    capsys: Capture,
) -> None:
    avocet = str(PROFILES / "consoles" / "avocet.yaml")
    assert main(["lint", avocet]) == 0
    said = capsys.readouterr().out.splitlines()
    assert "  made up: +RFT: 0x000C is 12, written `AT+RFT=0x000C`" in said
    assert "  made up: +LVR: 1250h is 12.50, written `AT+LVR=1250h`" in said
    assert len(said) <= 10

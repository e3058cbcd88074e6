"""A note of several lines through the command line, a real port and a real process."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faces.running import Aircraft, Workshop, aircraft

ANSWERS = {
    "User of the board": "bench",
    "Word of that user": "reed",
    "Type 'hands clear'": "hands clear",
}
TEXT = '"skid loose\\n\\n  check horn"'


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


@pytest.fixture
def board(workshop: Workshop) -> Iterator[Aircraft]:
    with aircraft(workshop, "--console", "dunlin", "--settings", "60") as flying:
        yield flying


def told(workshop: Workshop, board: Aircraft, *words: str) -> tuple[int, str]:
    where = ("--port", board.port, "--console", "dunlin")
    code, said = workshop.at_terminal(words[0], *where, *words[1:], answers=ANSWERS)
    return code, said.replace("\r\n", "\n")


def profile(workshop: Workshop, *settings: str) -> str:
    lines = (
        "benchlink-profile: 1",
        "title: Notes",
        "layer: baseline",
        "settings:",
        *(f"  {setting}" for setting in settings),
    )
    path = workshop.folder / "notes.yaml"
    path.write_text("\n".join(lines) + "\n")
    return str(path)


def test_a_note_goes_into_a_backup_and_comes_back_byte_for_byte(
    workshop: Workshop, board: Aircraft
) -> None:
    note = profile(workshop, f"note: {TEXT}")
    code, said = told(workshop, board, "apply", note, "--yes")
    assert code == 0, said
    assert "NEVER KEPT: the next restart takes it back." in said
    assert "this board never keeps it, so it was not restarted" in said
    written = board.live()
    assert written["craft.note"] == TEXT
    code, said = told(workshop, board, "backup", "--out", "copy.yaml")
    assert code == 0, said
    board.order('put craft.note ""')
    assert board.live()["craft.note"] == '""'
    code, said = told(workshop, board, "restore", "copy.yaml", "--yes")
    assert code == 0, said
    assert board.live() == written


def test_a_note_lost_at_the_restart_is_counted_and_does_not_differ(
    workshop: Workshop, board: Aircraft
) -> None:
    both = profile(workshop, f"note: {TEXT}", "pack/capacity: 1800")
    code, said = told(workshop, board, "apply", both, "--yes")
    assert code == 0, said
    assert "1 of these values is lost again: this board never keeps note." in said
    code, said = told(workshop, board, "compare", both)
    assert code == 0, said
    assert "- 1 never kept" in said
    assert "the board never keeps it: it is lost at every restart" in said
    assert "0 differ, 1 never kept, 1 as intended" in said
    code, said = told(workshop, board, "compare", both, "--state", "never-kept")
    assert (code, "1 never kept" in said) == (0, True)

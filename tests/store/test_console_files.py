"""Console descriptions found by name or path, and where the store's folders are."""

from pathlib import Path

import pytest

from benchlink.errors import FileError
from benchlink.store.descriptions import (
    find_console,
    hash_of,
    node_of,
    shipped_consoles,
)
from benchlink.store.places import profiles_folder, state_folder


@pytest.fixture
def shipped(tmp_path: Path) -> Path:
    folder = tmp_path / "shipped" / "consoles"
    folder.mkdir(parents=True)
    (folder / "reed.yaml").write_bytes(b"a: 1\n")
    (folder / "note.txt").write_bytes(b"")
    return folder.parent


def test_a_shipped_console_is_found_by_name(shipped: Path) -> None:
    path = shipped / "consoles" / "reed.yaml"

    assert find_console("reed", shipped) == ("reed", str(path), b"a: 1\n")
    assert shipped_consoles(shipped) == ("reed",)


def test_a_file_is_found_by_its_path(shipped: Path, tmp_path: Path) -> None:
    own = tmp_path / "mine.yaml"
    own.write_bytes(b"b: 2\n")

    assert find_console(str(own), shipped) == ("mine", str(own), b"b: 2\n")


def test_a_file_lying_about_does_not_take_a_shipped_name(
    shipped: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "reed").write_bytes(b"evil: 1\n")
    monkeypatch.chdir(tmp_path)

    assert find_console("reed", shipped)[2] == b"a: 1\n"


@pytest.mark.parametrize("name", ["heron", "../reed", "", "a\0b"])
def test_an_unknown_console_names_the_known_ones(name: str, shipped: Path) -> None:
    with pytest.raises(FileError, match="no console description") as caught:
        find_console(name, shipped)
    assert "reed" in caught.value.hint


def test_without_any_shipped_console_the_hint_says_none(tmp_path: Path) -> None:
    with pytest.raises(FileError) as caught:
        find_console("heron", tmp_path)
    assert caught.value.hint.endswith("none.")


def test_the_hash_changes_with_any_byte() -> None:
    assert len(hash_of(b"a")) == 64
    assert hash_of(b"a") != hash_of(b"a\n")


def test_mistakes_in_a_description_name_its_path() -> None:
    with pytest.raises(FileError) as caught:
        node_of(b"a: 1\na: 2\n", "reed.yaml")
    assert str(caught.value.problems[0].place) == "reed.yaml:2:1"


def test_a_file_over_the_limit_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "long.yaml"
    path.write_bytes(b"#" * ((1 << 20) + 1))

    with pytest.raises(FileError, match="longer than"):
        find_console(str(path))


def test_installed_profiles_come_before_those_of_a_checkout(tmp_path: Path) -> None:
    package = tmp_path / "benchlink"
    assert profiles_folder(package) == tmp_path / "profiles"

    (package / "_profiles").mkdir(parents=True)
    assert profiles_folder(package) == package / "_profiles"


@pytest.mark.parametrize(
    ("environment", "folder"),
    [
        ({"BENCHLINK_HOME": "/b", "XDG_STATE_HOME": "/x"}, "/b"),
        ({"BENCHLINK_HOME": "", "XDG_STATE_HOME": "/x"}, "/x/benchlink"),
        ({"XDG_STATE_HOME": "relative"}, "/home/.local/state/benchlink"),
        ({}, "/home/.local/state/benchlink"),
    ],
)
def test_the_state_folder_follows_the_environment(
    environment: dict[str, str], folder: str
) -> None:
    assert state_folder(environment, Path("/home")) == Path(folder)

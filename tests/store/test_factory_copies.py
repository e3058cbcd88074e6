"""Copies of fresh boards: one a type and firmware, never overwritten."""

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from benchlink.core.backup import Backup
from benchlink.core.identity import Identity
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.values import Number
from benchlink.errors import FileError, UsageError
from benchlink.store.factory_shelf import FactoryShelf

WADER = Identity(board_type="wader", firmware="1.4.2", number="A1")


def setting(name: str, value: int, *, board_owned: bool = False) -> Setting:
    number = Number(Decimal(value))
    return Setting(name=name, value=number, raw=str(value), board_owned=board_owned)


def fresh(cells: int = 4, bias: int = 7, identity: Identity = WADER) -> Backup:
    found = (setting("pack.cells", cells), setting("accel.x", bias, board_owned=True))
    return Backup(
        taken_at=datetime(2025, 3, 1, tzinfo=UTC),
        tool_version="0.1.0",
        identity=identity,
        snapshot=Snapshot(settings={s.name: s for s in found}),
        console="wader",
        console_hash="ab" * 32,
        command="recite",
    )


@pytest.fixture
def shelf(tmp_path: Path) -> FactoryShelf:
    return FactoryShelf(tmp_path)


def test_a_copy_stands_under_type_and_firmware(
    shelf: FactoryShelf, tmp_path: Path
) -> None:
    path = shelf.keep_backup(fresh())
    assert path == str(tmp_path / "factory/wader_1.4.2.backup.yaml")
    assert shelf.find(WADER) == fresh()


def test_another_board_of_the_same_kind_finds_it(shelf: FactoryShelf) -> None:
    shelf.keep_backup(fresh())
    assert shelf.find(replace(WADER, number="B2")) is not None
    assert shelf.find(replace(WADER, firmware="1.5")) is None
    assert shelf.find(replace(WADER, firmware="1/4.2")) is None
    assert shelf.find(Identity()) is None


def test_an_equal_copy_counts_whatever_its_calibration(shelf: FactoryShelf) -> None:
    path = shelf.keep_backup(fresh())
    twin = fresh(bias=9, identity=replace(WADER, number="B2"))
    assert shelf.keep_backup(twin) == path
    assert shelf.find(WADER) == fresh()


def test_a_copy_that_is_not_equal_never_replaces_the_first(shelf: FactoryShelf) -> None:
    shelf.keep_backup(fresh())
    with pytest.raises(FileError, match="is there already") as caught:
        shelf.keep_backup(fresh(cells=6))
    assert caught.value.details == ("pack.cells: not the same in both",)
    assert shelf.find(WADER) == fresh()


def test_two_kinds_that_come_to_one_file_name_are_never_mixed(
    shelf: FactoryShelf,
) -> None:
    slash, dash = (replace(WADER, firmware=f) for f in ("1/4", "1-4"))
    shelf.keep_backup(fresh(identity=slash))
    assert shelf.find(dash) is None
    with pytest.raises(FileError, match="is there already"):
        shelf.keep_backup(fresh(identity=dash))


def test_a_damaged_copy_is_an_error_and_stays(shelf: FactoryShelf) -> None:
    path = Path(shelf.keep_backup(fresh()))
    damaged = path.read_bytes().replace(b"pack.cells: 4", b"pack.cells: 5")
    path.write_bytes(damaged)
    with pytest.raises(FileError, match="content hash differs"):
        shelf.find(WADER)
    with pytest.raises(FileError, match="content hash differs"):
        shelf.keep_backup(fresh())
    assert path.read_bytes() == damaged


@pytest.mark.parametrize("kind", ["../../x", ".", "a\\b"])
def test_what_a_board_says_of_itself_never_leaves_the_folder(
    shelf: FactoryShelf, tmp_path: Path, kind: str
) -> None:
    path = shelf.path(replace(WADER, board_type=kind))
    assert path.resolve().parent == (tmp_path / "factory").resolve()


def test_a_board_that_does_not_say_its_type_has_no_copy(shelf: FactoryShelf) -> None:
    with pytest.raises(UsageError, match="does not say its type"):
        shelf.path(Identity(number="A1"))

"""Copies of fresh boards, one for each type and firmware: what "as made" means.

They stand in the user's own folder as `factory/TYPE_FIRMWARE.backup.yaml`.
"""

import re
from pathlib import Path
from typing import Final, final

from benchlink.core.backup import Backup
from benchlink.core.factory import not_as_made
from benchlink.core.identity import Identity
from benchlink.errors import FileError, UsageError
from benchlink.store import atomic, backups

FOLDER: Final = "factory"
_NOT_IN_NAMES: Final = re.compile(r"[^A-Za-z0-9.]+")


@final
class FactoryShelf:
    """Implements `doors.Records` for copies of fresh boards."""

    def __init__(self, state_folder: Path) -> None:
        self._folder = state_folder / FOLDER

    def path(self, identity: Identity) -> Path:
        """Where the copy of this type and firmware stands, there or not.

        Raises:
            UsageError: the board does not say its type.
        """
        if not identity.board_type:
            msg = "this board does not say its type, so nothing can be as made by type"
            raise UsageError(msg, hint="Keep an ordinary backup of it instead.")
        parts = (identity.board_type, identity.firmware)
        named = "_".join(_NOT_IN_NAMES.sub("-", part).strip("-.") for part in parts)
        return self._folder / f"{named}{backups.SUFFIX}"

    def find(self, identity: Identity) -> Backup | None:
        """The copy for this type and firmware; None when nobody took one.

        Raises:
            FileError: it is damaged.
        """
        if not identity.board_type:
            return None
        path = self.path(identity)
        if not path.exists():
            return None
        found = backups.load(path)
        # Two spellings may have come to one name.
        same = _kind(found.identity) == _kind(identity)
        return found if same else None

    def keep_backup(self, backup: Backup) -> str:
        """Keep the copy of a fresh board; an equal one that is there already counts.

        Raises:
            FileError: another one is there, or it could not be written.
        """
        path = self.path(backup.identity)
        atomic.make_folder(self._folder)
        there = backups.load(path) if path.exists() else None
        if there is None:
            return backups.BackupFile(path).keep_backup(backup)
        names = _at_odds(there, backup)
        if names or _kind(there.identity) != _kind(backup.identity):
            raise _another(path, there, names)
        return str(path)


def _kind(identity: Identity) -> tuple[str, str]:
    return identity.board_type, identity.firmware


def _at_odds(there: Backup, new: Backup) -> tuple[str, ...]:
    one, other = there.snapshot, new.snapshot
    both = (*not_as_made(other, one), *not_as_made(one, other))
    return tuple(dict.fromkeys(both))


def _another(path: Path, there: Backup, names: tuple[str, ...]) -> FileError:
    error = FileError(
        f"another copy of a fresh {there.identity} is there already: {path}",
        hint="Nothing was overwritten. One of the two boards is not fresh: find out"
        " which, and delete that file by hand if it was the first.",
    )
    error.details = tuple(f"{name}: not the same in both" for name in names[:20])
    return error

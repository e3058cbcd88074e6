"""The folder where copies of boards are kept, and what a copy asks for when put back."""

import re
from datetime import UTC
from itertools import chain, count
from pathlib import Path
from typing import Final, final

from benchlink.core.backup import Backup
from benchlink.core.document import Items, Node, Scalar
from benchlink.core.intent import Fits, Intent, Owner, Wanted
from benchlink.core.settings import Setting
from benchlink.core.values import Series, Text, Value
from benchlink.errors import FileError, Place
from benchlink.store import atomic
from benchlink.store.backup_reader import MAX_BYTES, parse
from benchlink.store.backup_text import render
from benchlink.store.reading import read_bytes, too_long

SUFFIX: Final = ".backup.yaml"
_NOT_IN_NAMES: Final = re.compile(r"[^A-Za-z0-9]+")
_LONGEST_LABEL: Final = 40


@final
class Backups:
    """Backups of one aircraft or one bench; implements `doors.Records`."""

    def __init__(self, folder: Path, label: str = "") -> None:
        """Keep backups in `folder`, named by `label` (a tail number) where given."""
        self._folder = folder
        self._label = label

    def keep_backup(self, backup: Backup) -> str:
        """Write a backup under a new name, and say where it stands.

        Raises:
            FileError: it could not be written; nothing was replaced.
        """
        data = _whole(backup)
        atomic.make_folder(self._folder)
        stem = _stem(backup, self._label)
        endings = chain([""], (f"-{n}" for n in count(2)))
        paths = (self._folder / f"{stem}{ending}{SUFFIX}" for ending in endings)
        return str(next(path for path in paths if atomic.create(path, data)))

    def kept(self) -> tuple[Path, ...]:
        """Backups in the folder, by name: the oldest first."""
        return tuple(sorted(self._folder.glob(f"*{SUFFIX}")))


@final
class BackupFile:
    """One named file, written once; implements `doors.Records`."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def keep_backup(self, backup: Backup) -> str:
        """Write the file.

        Raises:
            FileError: it is there already, or could not be written.
        """
        if not atomic.create(self._path, _whole(backup)):
            raise self._taken()
        return str(self._path)

    def require_free(self) -> None:
        """Refuse a name that is taken, before anything is asked of a board.

        Raises:
            FileError: it is there already.
        """
        if self._path.exists():
            raise self._taken()

    def _taken(self) -> FileError:
        return FileError(
            f"{self._path} is there already",
            hint="Backups are never overwritten: name another file.",
        )


def load(path: Path) -> Backup:
    """Read one backup.

    Raises:
        FileError: it cannot be read, or is damaged.
    """
    return parse(read_bytes(path, MAX_BYTES), str(path))


def intent_from_backup(backup: Backup, path: str, *, same_board: bool) -> Intent:
    """What a board should hold to be as it was: all that can be written and compared.

    Settings that belong to the circuit board are asked for only on the same board.

    Raises:
        FileError: nothing in this backup was understood.
    """
    settings = backup.snapshot.settings.values()
    if not settings:
        msg = f"the backup {path} holds bytes only: nothing in it was understood yet"
        raise FileError(
            msg, hint="Nothing was sent to a board. Teach its console first."
        )
    place = Place(path, 1)
    asked = [s for s in settings if s.writable and not s.volatile]
    wanted = {
        s.name: _wanted(s, place) for s in asked if same_board or not s.board_owned
    }
    board_type = backup.identity.board_type
    return Intent(
        title=f"backup of {backup.taken_at:%Y-%m-%d %H:%M} ({backup.identity})",
        source=path,
        wanted=wanted,
        fits=Fits(board_types=(_literal(board_type),) if board_type else ()),
        board_names=tuple(_literal(s.name) for s in settings if s.board_owned),
    )


def _whole(backup: Backup) -> bytes:
    data = render(backup)
    if len(data) <= MAX_BYTES:
        return data
    # A file that `load` would refuse is never written.
    refusal = too_long("the backup", MAX_BYTES)
    raise refusal


def _stem(backup: Backup, label: str) -> str:
    board = backup.identity
    named = [label or board.board_type, board.number]
    cleaned = [_NOT_IN_NAMES.sub("-", part).strip("-") for part in named]
    moment = backup.taken_at.astimezone(UTC)
    parts = [f"{moment:%Y%m%dT%H%M%SZ}", *(p[:_LONGEST_LABEL] for p in cleaned if p)]
    return "_".join(parts)


def _wanted(setting: Setting, place: Place) -> Wanted:
    return Wanted(
        name=setting.name,
        given=_given(setting.value, place),
        owner=Owner.BOARD if setting.board_owned else Owner.UNMANAGED,
        place=place,
    )


def _given(value: Value, place: Place) -> Node:
    match value:
        case Series(values):
            return Items(tuple(_given(v, place) for v in values), place)
        case Text(text):
            return Scalar(text, quoted=True, place=place)
        case _:
            return Scalar(str(value), quoted=False, place=place)


def _literal(text: str) -> str:
    """A pattern that matches this text only."""
    return re.sub(r"([*?\[])", r"[\1]", text)

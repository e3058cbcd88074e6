"""Kept copies of the board at the bench, or of its aircraft: the latest first."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from benchlink.errors import FileError
from benchlink.faces.named_files import as_today
from benchlink.faces.wiring import BACKUP_FOLDER
from benchlink.store.aircraft_folder import backups_of
from benchlink.store.backups import Backups, load

if TYPE_CHECKING:
    from benchlink.core.backup import Backup
    from benchlink.faces.at_board import AtBoard

LOOKS_BACK: Final = 20
"""Copies that are opened in search of one of this board."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundCopy:
    """A copy as today's description reads it, and its file."""

    path: Path
    backup: "Backup"


def newest_copy(at: "AtBoard") -> FoundCopy | None:
    """The latest copy that was understood; opens at most `LOOKS_BACK` files."""
    return next(copies(at, kept(at)[: -LOOKS_BACK - 1 : -1]), None)


def kept(at: "AtBoard") -> tuple[Path, ...]:
    """Files of copies that may be of this board: those of its aircraft come last."""
    own = backups_of(at.aircraft).kept() if at.aircraft else ()
    # A board that has just got its folder was copied before it had one.
    return (*Backups(Path(BACKUP_FOLDER)).kept(), *own)


def copies(at: "AtBoard", paths: tuple[Path, ...]) -> Iterator[FoundCopy]:
    """Those that were understood and count here; what cannot be read is told."""
    for path in paths:
        try:
            backup = as_today(load(path), path, at.bench).backup
        except FileError as error:
            at.person.tell(f"Skipped: {error}")
            continue
        if backup.snapshot.settings and _counts(at, path, backup):
            yield FoundCopy(path=path, backup=backup)


def _counts(at: "AtBoard", path: Path, backup: "Backup") -> bool:
    """In the aircraft's own folder all do; elsewhere those of this board."""
    own = at.aircraft is not None and path.is_relative_to(at.aircraft.folder)
    return own or backup.identity.surely_same(at.bench.session.identity)

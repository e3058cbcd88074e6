"""Where backups go in a test: a list, or a shelf that is full."""

from collections.abc import Callable
from typing import final

from benchlink.core.backup import Backup
from benchlink.errors import FileError


@final
class Shelf:
    def __init__(self, *, full: bool = False, at: Callable[[], object] = bool) -> None:
        self.backups: list[Backup] = []
        self._full = full
        self._at = at

    def keep_backup(self, backup: Backup) -> str:
        if self._full:
            msg = "the shelf is full"
            raise FileError(msg)
        self._at()
        self.backups.append(backup)
        return f"shelf/{len(self.backups)}"

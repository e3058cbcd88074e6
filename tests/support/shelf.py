"""Where backups go in a test: a list, or a shelf that is full."""

from collections.abc import Callable
from typing import final

from benchlink.core.backup import Backup
from benchlink.errors import FileError
from benchlink.workflows.apply import Shelves
from tests.support.paper import Folder


@final
class Shelf:
    def __init__(self, *, full: bool = False, at: Callable[[], object] = bool) -> None:
        self.backups: list[Backup] = []
        self._full = full
        self._at = at
        self.journals = Folder()

    @property
    def shelves(self) -> Shelves:
        return Shelves(records=self, journals=self.journals)

    def keep_backup(self, backup: Backup) -> str:
        if self._full:
            msg = "the shelf is full"
            raise FileError(msg)
        self._at()
        self.backups.append(backup)
        return f"shelf/{len(self.backups)}"

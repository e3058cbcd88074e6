"""Paper that fails: a full disk, a process killed at a mark, and a mark half written."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import timedelta
from enum import Enum
from itertools import cycle
from pathlib import Path
from typing import Final, final

from benchlink.core.backup import Backup
from benchlink.core.doors import Journal
from benchlink.core.journal import Mark, Story, Transaction, Unfinished
from benchlink.errors import FileError
from benchlink.store.backups import Backups
from benchlink.store.journals import Journals
from benchlink.workflows.apply import Shelves
from tests.support.cable_board import Blows, KilledError
from tests.support.virtual_bench import STAMP


class When(Enum):
    """At which side of a mark a process dies."""

    BEFORE = "before"
    AFTER = "after"
    WITHIN = "within"
    """Some bytes of its line are on the disk."""


@dataclass(slots=True, kw_only=True)
class Ills:
    """What is wrong with the paper of one process; counted marks begin at 1."""

    kill_at: int = 0
    when: When = When.BEFORE
    within_bytes: int = 5
    full_from: int = 0
    """From this mark on nothing can be written."""
    full_until: int = 0
    """The first mark that can be written again."""
    no_backup: bool = False
    no_journal: bool = False
    marks: list[Mark] = field(default_factory=list)

    @property
    def full(self) -> bool:
        """Whether the mark at hand meets a full disk."""
        at = len(self.marks)
        return 0 < self.full_from <= at and not 0 < self.full_until <= at


@final
class IllJournal:
    """One journal on the disk."""

    def __init__(self, real: Journal, ills: Ills, blows: Blows) -> None:
        self._real: Final = real
        self._ills: Final = ills
        self._blows: Final = blows

    @property
    def path(self) -> str:
        return self._real.path

    @property
    def story(self) -> Story:
        return self._real.story

    def mark(self, mark: Mark, stage: int = 1) -> None:
        ills = self._ills
        if self._blows.killed:
            raise KilledError
        ills.marks.append(mark)
        if ills.full:
            msg = "no space left"
            raise FileError(msg)
        dies = ills.kill_at == len(ills.marks)
        if dies and ills.when is When.BEFORE:
            self._die()
        path = Path(self._real.path)
        before = path.read_bytes()
        self._real.mark(mark, stage)
        if dies and ills.when is When.WITHIN:
            self._tear(path, before)
        if dies:
            self._die()

    def _tear(self, path: Path, before: bytes) -> None:
        """Only the first bytes of what was new are there, where it stood."""
        after = Path(self._real.path).read_bytes()
        first = next(
            (
                n
                for n, pair in enumerate(zip(before, after, strict=False))
                if pair[0] != pair[1]
            ),
            len(before),
        )
        upto = first + self._ills.within_bytes
        Path(self._real.path).replace(path)
        path.write_bytes(after[:upto] + before[upto:])

    def _die(self) -> None:
        self._blows.killed = True
        raise KilledError


@final
class IllPaper:
    """Backups and journals in a folder; implements `doors.Records` and `Journals`."""

    def __init__(
        self,
        folder: Path,
        ills: Ills,
        blows: Blows,
        kept: Callable[[Backup], None] = lambda _: None,
    ) -> None:
        self._ills: Final = ills
        self._blows: Final = blows
        self._kept: Final = kept
        self._backups: Final = Backups(folder / "backups")
        self.journals: Final = journals_in(folder)

    @property
    def shelves(self) -> Shelves:
        return Shelves(records=self, journals=self)

    def keep_backup(self, backup: Backup) -> str:
        if self._blows.killed:
            raise KilledError
        if self._ills.no_backup:
            msg = "no space left"
            raise FileError(msg)
        self._kept(backup)
        return self._backups.keep_backup(backup)

    def open(self, transaction: Transaction) -> IllJournal:
        if self._blows.killed:
            raise KilledError
        if self._ills.no_journal:
            msg = "no space left"
            raise FileError(msg)
        return IllJournal(self.journals.open(transaction), self._ills, self._blows)

    def unfinished(self) -> tuple[Unfinished, ...]:
        return self.journals.unfinished()

    def go_on(self, unfinished: Unfinished) -> IllJournal:
        return IllJournal(self.journals.go_on(unfinished), self._ills, self._blows)


def journals_in(folder: Path) -> Journals:
    """The real journals, under a clock that jumps to and fro."""
    jumps = cycle((timedelta(), timedelta(hours=-3), timedelta(days=2)))
    return Journals(
        folder / "journal", lambda: STAMP.taken_at + next(jumps), _unreadable
    )


def _unreadable(sentence: str) -> None:
    msg = f"a journal cannot be read: {sentence}"
    raise AssertionError(msg)

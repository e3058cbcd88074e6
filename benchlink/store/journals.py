"""The folder of journals: changes that were begun, each in a file of its own.

A journal is written whole, with room for its marks, before anything is sent to a board;
a mark is then written in place and synced, so that a disk that fills up meanwhile loses
none. What is done or undone moves to `closed/`, where the last ones stay for reading.
"""

import os
import re
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Final, final

from benchlink.core.journal import Mark, Step, Story, Transaction, Unfinished
from benchlink.errors import FileError
from benchlink.store import atomic
from benchlink.store.journal_text import parse, render, render_step
from benchlink.store.reading import read_bytes

SUFFIX: Final = ".journal.jsonl"
CLOSED: Final = "closed"
KEPT_CLOSED: Final = 50
"""Closed journals that are kept for reading."""
ROOM: Final = 8192
"""Bytes reserved for marks: some eighty of them."""
MAX_BYTES: Final = 1 << 24
_NOT_IN_NAMES: Final = re.compile(r"[^A-Za-z0-9]+")


@final
class JournalFile:
    """One open journal; implements `doors.Journal`."""

    def __init__(
        self, path: Path, story: Story, at: int, now: Callable[[], datetime]
    ) -> None:
        self._path = path
        self._now: Final = now
        self._at = at
        self.story = story

    @property
    def path(self) -> str:
        """Where it stands."""
        return str(self._path)

    def mark(self, mark: Mark, stage: int = 1) -> None:
        """Write a mark down and sync it; the last one puts the journal away.

        Raises:
            FileError: it could not be written; the mark before still holds.
        """
        step = Step(mark, stage)
        story = self.story.then(step)
        line = render_step(step, self._now())
        try:
            with self._path.open("rb+", buffering=0) as file:
                file.seek(self._at)
                file.write(line)
                os.fsync(file.fileno())
        except OSError as exc:
            msg = f"the journal {self._path} could not be written: {exc.strerror}"
            raise FileError(
                msg, hint="Check the disk; the mark before still holds."
            ) from exc
        self._at += len(line)
        self.story = story
        if not story.open:
            self._put_away()

    def _put_away(self) -> None:
        closed = self._path.parent / CLOSED
        atomic.make_folder(closed)
        try:
            self._path = self._path.rename(closed / self._path.name)
            for old in sorted(closed.glob(f"*{SUFFIX}"))[:-KEPT_CLOSED]:
                old.unlink()
        except OSError:
            # It is closed by its last mark, wherever it stands.
            return


@final
class Journals:
    """All journals of one user; implements `doors.Journals`."""

    def __init__(
        self,
        folder: Path,
        now: Callable[[], datetime],
        tell: Callable[[str], None],
    ) -> None:
        """Use `folder`; `tell` takes a sentence about a journal that is damaged."""
        self._folder: Final = folder
        self._now: Final = now
        self._tell: Final = tell

    def open(self, transaction: Transaction) -> JournalFile:
        """Write a journal down, whole, before its change is begun.

        Raises:
            FileError: it could not be written: nothing must be sent.
        """
        atomic.make_folder(self._folder)
        self._refuse_beside_damaged()
        body = render(transaction)
        data = body + b" " * (ROOM - 1) + b"\n"
        stem = _stem(transaction)
        number = 1
        path = self._folder / f"{stem}{SUFFIX}"
        while not atomic.create(path, data):
            number += 1
            path = self._folder / f"{stem}-{number}{SUFFIX}"
        return JournalFile(path, Story(), len(body), self._now)

    def unfinished(self) -> tuple[Unfinished, ...]:
        """Changes that are neither done nor undone, the newest first."""
        found: list[Unfinished] = []
        for path in sorted(self._folder.glob(f"*{SUFFIX}"), reverse=True):
            try:
                transaction, story, _ = parse(read_bytes(path, MAX_BYTES), str(path))
            except FileError as error:
                self._tell(f"{error}. {error.hint}")
                continue
            if story.open:
                found.append(
                    Unfinished(transaction=transaction, story=story, path=str(path))
                )
        return tuple(found)

    def damaged(self) -> tuple[str, ...]:
        """Journals that cannot be read: nobody knows which board they are about."""
        return tuple(
            str(path)
            for path in sorted(self._folder.glob(f"*{SUFFIX}"))
            if _trouble_with(path)
        )

    def put_away(self, path: str) -> None:
        """Move a damaged journal to the closed ones.

        Raises:
            FileError: it could not be moved.
        """
        closed = self._folder / CLOSED
        atomic.make_folder(closed)
        try:
            Path(path).rename(closed / Path(path).name)
        except OSError as exc:
            msg = f"{path} could not be moved: {exc.strerror}"
            raise FileError(msg, hint="Move it away by hand.") from exc

    def _refuse_beside_damaged(self) -> None:
        damaged = self.damaged()
        if damaged:
            names = ", ".join(damaged)
            msg = f"a journal is damaged, and may be about this board: {names}"
            raise FileError(
                msg,
                hint="Nothing was written. Look whether a change was interrupted, and"
                " restore its backup; `benchlink unfinished --forget FILE` puts the"
                " journal away.",
            )

    def go_on(self, unfinished: Unfinished) -> JournalFile:
        """Open the journal of an unfinished change again, to mark on.

        Raises:
            FileError: it cannot be read, or is damaged.
        """
        path = Path(unfinished.path)
        _, story, at = parse(read_bytes(path, MAX_BYTES), str(path))
        return JournalFile(path, story, at, self._now)


def _trouble_with(path: Path) -> str:
    try:
        parse(read_bytes(path, MAX_BYTES), str(path))
    except FileError as error:
        return str(error)
    return ""


def _stem(transaction: Transaction) -> str:
    board = transaction.identity
    parts = [f"{transaction.opened_at.astimezone(UTC):%Y%m%dT%H%M%SZ}"]
    parts += [
        cleaned
        for text in (board.board_type, board.number)
        if (cleaned := _NOT_IN_NAMES.sub("-", text).strip("-"))
    ]
    return "_".join(parts)

"""The folder of bench records: one file an event, never overwritten.

    records/0007_20260301T102030Z_centre_left.record.yaml

The number rises from record to record, so the newest is known whatever a clock did; two
benches that wrote at once have the same number in two files, and the later time wins.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import UTC
from itertools import count
from pathlib import Path
from typing import Final, final

from benchlink.core.bench_record import BenchRecord, Work
from benchlink.core.identity import Identity
from benchlink.core.roles import OwnSide
from benchlink.errors import FileError
from benchlink.store import atomic
from benchlink.store.bench_record_reader import parse
from benchlink.store.bench_record_text import render
from benchlink.store.reading import read_bytes

SUFFIX: Final = ".record.yaml"
_NUMBER: Final = re.compile(r"(\d{1,9})_", re.ASCII)
_NOT_IN_NAMES: Final = re.compile(r"[^A-Za-z0-9]+")


@final
class BenchRecords:
    """Records of one aircraft, or of one bench; implements `doors.BenchRecords`."""

    def __init__(
        self, folder: Path, tell: Callable[[str], None], board: Identity | None = None
    ) -> None:
        """Read and keep records in `folder`.

        Args:
            folder: Need not exist yet.
            tell: Hears of every file that could not be read, once.
            board: Only its records count, where the folder is not one aircraft's.
        """
        self._folder = folder
        self._tell = tell
        self._board = board
        self._told: set[Path] = set()

    def keep(self, record: BenchRecord) -> str:
        """Write a record under a new name, and say where it stands.

        Raises:
            FileError: it could not be written; nothing was replaced.
        """
        atomic.make_folder(self._folder)
        for number in count(self._last_number() + 1):
            numbered = replace(record, number=number)
            path = self._folder / f"{_stem(numbered)}{SUFFIX}"
            data = render(numbered)
            _require_readable(numbered, data, path)
            if atomic.create(path, data):
                return str(path)
        raise AssertionError  # there is always a next number

    def newest(self, work: Work, side: OwnSide | None = None) -> BenchRecord | None:
        """The latest record of that work, about that side where one is named.

        Work that was broken off proves nothing, and does not count.
        """
        found = [
            record
            for record in self.kept()
            if record.work is work
            and not record.broken_off
            and (side is None or record.side(side))
        ]
        return max(found, key=lambda r: (r.number, r.made_at), default=None)

    def kept(self) -> tuple[BenchRecord, ...]:
        """All records that can be read, the oldest first; told of the others."""
        records = [record for _, record in self._readable(self._paths())]
        return tuple(
            sorted(
                (
                    r
                    for r in records
                    if not self._board or r.board.same_board(self._board)
                ),
                key=lambda r: (r.number, r.made_at),
            )
        )

    def _readable(self, paths: Iterable[Path]) -> Iterator[tuple[Path, BenchRecord]]:
        for path in paths:
            try:
                yield path, parse(read_bytes(path), str(path))
            except FileError as error:
                self._skip(path, error)

    def _skip(self, path: Path, error: FileError) -> None:
        if path in self._told:
            return
        self._told.add(path)
        self._tell(f"Skipped: {error}")
        for detail in error.details:
            self._tell(f"  {detail}")

    def _paths(self) -> list[Path]:
        return sorted(self._folder.glob(f"*{SUFFIX}"))

    def _last_number(self) -> int:
        """The highest that is taken, also by a file that cannot be read."""
        named = {path: _NUMBER.match(path.name) for path in self._paths()}
        numbers = [int(match[1]) for match in named.values() if match]
        # A name is enough: a folder of years must not keep a record from being written.
        unnamed = [path for path, match in named.items() if match is None]
        numbers += [record.number for _, record in self._readable(unnamed)]
        return max(numbers, default=0)


def _stem(record: BenchRecord) -> str:
    moment = record.made_at.astimezone(UTC)
    parts = [f"{record.number:04}", f"{moment:%Y%m%dT%H%M%SZ}", record.work.value]
    about = [_NOT_IN_NAMES.sub("-", record.about)] if record.about else []
    return "_".join((*parts, *about, *(work.side.value for work in record.sides)))


def _require_readable(record: BenchRecord, data: bytes, path: Path) -> None:
    """A file that would not be read back as what was meant is never written."""
    try:
        same = parse(data, str(path)) == record
    except FileError as error:
        error.hint = "Nothing was written: the record would not be readable."
        raise
    if not same:
        msg = f"{path} would not say what is to be recorded"
        raise FileError(msg, hint="Nothing was written.")

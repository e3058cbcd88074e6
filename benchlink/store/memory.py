"""What this user approved: which description may talk to which board.

    benchlink-approvals: 1
    boards:
      "wader 7F3A-0192":
        - {console: wader, hash: 9f..., approved: 2025-03-01}     the last one is used

A description says what gets sent to a board, so an unknown one is asked about once.
"""

from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Final, final

from benchlink.core.document import Entry, Problems, Table, TableReader
from benchlink.errors import FileError, Problem
from benchlink.store import atomic
from benchlink.store.notation import bare_or_quoted, quoted
from benchlink.store.reading import read_bytes
from benchlink.store.strict_yaml import load_bytes

FILE_NAME: Final = "consoles.yaml"
_VERSION_KEY: Final = "benchlink-approvals"
_VERSION: Final = "1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Approval:
    """One description, approved for one board on one day."""

    console: str
    """Name of a shipped description, or the path of a file."""
    console_hash: str
    day: date


@final
class Memory:
    """The approvals of one user, read afresh at every question."""

    def __init__(self, folder: Path, tell: Callable[[str], None]) -> None:
        """Use `folder`; `tell` takes a sentence when a damaged file was set aside."""
        self._folder = folder
        self._path = folder / FILE_NAME
        self._tell = tell

    def approved(self, board_key: str, console_hash: str) -> bool:
        """Whether this very description was approved for this board."""
        return any(
            approval.console_hash == console_hash
            for approval in self._read().get(board_key, ())
        )

    def last_console(self, board_key: str) -> tuple[str, str] | None:
        """Name or path, and hash, of what was approved last for this board."""
        approvals = self._read().get(board_key, ())
        return (
            (approvals[-1].console, approvals[-1].console_hash) if approvals else None
        )

    def last_with(self, console_hash: str) -> str | None:
        """Name or path of the description of that hash, for whatever board."""
        found = [
            approval.console
            for approvals in self._read().values()
            for approval in approvals
            if approval.console_hash == console_hash
        ]
        return found[-1] if found else None

    def remember(
        self, board_key: str, console: str, console_hash: str, day: date
    ) -> None:
        """Note an approval.

        Raises:
            FileError: it could not be written; what was approved before still is.
        """
        known = dict(self._read())
        new = Approval(console=console, console_hash=console_hash, day=day)
        others = [a for a in known.get(board_key, ()) if a.console_hash != console_hash]
        known[board_key] = (*others, new)
        atomic.make_folder(self._folder)
        atomic.replace(self._path, "".join(_lines(known)).encode())

    def _read(self) -> Mapping[str, tuple[Approval, ...]]:
        if not self._path.exists():
            return {}
        try:
            return _parse(read_bytes(self._path), str(self._path))
        except FileError as exc:
            self._set_aside(exc)
            return {}

    def _set_aside(self, exc: FileError) -> None:
        first: tuple[Problem, ...] = exc.problems[:1]
        why = str(first[0]) if first else str(exc)
        aside = self._free_name()
        moved = False
        with suppress(OSError):
            self._path.rename(aside)
            moved = True
        where = f"it is now {aside}" if moved else "it could not be moved"
        self._tell(
            f"The list of approved consoles is damaged ({why}); {where}. "
            "Nothing is approved until you say so again."
        )

    def _free_name(self) -> Path:
        number = 1
        while (path := self._path.with_suffix(f".damaged-{number}")).exists():
            number += 1
        return path


def _lines(known: Mapping[str, tuple[Approval, ...]]) -> list[str]:
    lines = [f"{_VERSION_KEY}: {_VERSION}\n", "boards:\n"]
    for board_key, approvals in known.items():
        lines.append(f"  {quoted(board_key)}:\n")
        lines.extend(
            f"    - {{console: {bare_or_quoted(a.console)}, "
            f"hash: {bare_or_quoted(a.console_hash)}, approved: {a.day.isoformat()}}}\n"
            for a in approvals
        )
    return lines


def _parse(data: bytes, name: str) -> dict[str, tuple[Approval, ...]]:
    problems = Problems()
    reader = TableReader(load_bytes(data, name), problems, "the list of approvals")
    if reader.need_text(_VERSION_KEY) != _VERSION:
        problems.add(reader.place, f"`{_VERSION_KEY}:` must be {_VERSION}")
    boards = reader.table("boards", "`boards:`")
    entries = boards.entries() if boards else ()
    known = {entry.key.text: _approvals(entry, problems) for entry in entries}
    reader.finish()
    problems.stop_if_any(name)
    return known


def _approvals(entry: Entry, problems: Problems) -> tuple[Approval, ...]:
    # A reader takes lists by key, so the entry becomes a table of its own.
    holder = TableReader(Table((entry,), entry.key.place), problems, "a board")
    return tuple(map(_approval, holder.tables(entry.key.text, "an approval")))


def _approval(reader: TableReader) -> Approval:
    approval = Approval(
        console=reader.need_text("console"),
        console_hash=reader.need_text("hash"),
        day=_day(reader),
    )
    reader.finish()
    return approval


def _day(reader: TableReader) -> date:
    text = reader.need_text("approved")
    try:
        return date.fromisoformat(text)
    except ValueError:
        reader.problems.add(reader.place, f"`approved:` must be a day, not {text!r}")
        return date.min

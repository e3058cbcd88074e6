"""One folder an aircraft, one file an event; ordinary `git` shares it between benches.

    aircraft/LW-03/aircraft.yaml    who it is; made last, so a half-made folder is none
    aircraft/LW-03/fitted.yaml      its own layer of intent, for editing
    aircraft/LW-03/boards/          a file for each board that took another's place
    aircraft/LW-03/backups/         its backups, by time
    aircraft/LW-03/records/         what was measured and set on it at the bench

Nothing here is ever overwritten.
"""

import os
import re
from collections.abc import Callable, Sequence
from datetime import UTC
from pathlib import Path
from typing import Final, final

from benchlink.core.aircraft import Aircraft
from benchlink.errors import FileError, Place, Problem, UsageError
from benchlink.store import atomic
from benchlink.store.aircraft_file import (
    AircraftFile,
    NotedBoard,
    parse_aircraft,
    parse_board,
    render_aircraft,
    render_board,
)
from benchlink.store.backups import Backups
from benchlink.store.bench_records import BenchRecords
from benchlink.store.layer import VERSION, VERSION_KEY
from benchlink.store.locks import hold
from benchlink.store.notation import bare_or_quoted, quoted
from benchlink.store.reading import read_bytes

FILE_NAME: Final = "aircraft.yaml"
PROFILE_NAME: Final = "fitted.yaml"
_BOARDS: Final = "boards"
_BACKUPS: Final = "backups"
_RECORDS: Final = "records"
_TAIL: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,39}", re.ASCII)
_NOT_IN_NAMES: Final = re.compile(r"[^A-Za-z0-9]+")


@final
class AircraftFolder:
    """All aircraft of one workshop, read afresh at every question."""

    def __init__(self, root: Path) -> None:
        self.root: Final = root

    def fleet(self) -> tuple[Aircraft, ...]:
        """Every aircraft, by tail number.

        Raises:
            FileError: the file of one is damaged; says where.
        """
        return tuple(
            _read(path.parent) for path in sorted(self.root.glob(f"*/{FILE_NAME}"))
        )

    def make(
        self, noted: NotedBoard, title: str, uses: Sequence[Path | str]
    ) -> Aircraft:
        """Make the folder of a new aircraft, its own layer still empty.

        `uses` are the profiles that it builds on: a path, or the name of a shipped one.

        Raises:
            UsageError: that tail number cannot be one, or is taken.
            HeldError: another benchlink changes that folder.
            FileError: a file could not be written.
        """
        folder = self.root / self._free(noted.tail)
        atomic.make_folder(folder / _BACKUPS)
        with hold(folder, f"a benchlink that makes the folder of {noted.tail}"):
            return self._fill(folder, noted, title, uses)

    def _fill(
        self, folder: Path, noted: NotedBoard, title: str, uses: Sequence[Path | str]
    ) -> Aircraft:
        layer = _empty_layer(title or noted.tail, noted, _seen_from(folder, uses))
        # What somebody may have begun to fill in stays.
        atomic.create(folder / PROFILE_NAME, layer)
        file = AircraftFile(title=title, noted=noted, profile=PROFILE_NAME)
        if not atomic.create(folder / FILE_NAME, render_aircraft(file)):
            raise _taken(noted.tail)
        return _read(folder)

    def note_board(self, noted: NotedBoard) -> Aircraft:
        """Note that another board took its place.

        Raises:
            HeldError: another benchlink changes that folder.
            FileError: it could not be written.
        """
        folder = self.root / noted.tail
        with hold(folder, f"a benchlink that notes the board of {noted.tail}"):
            return self._add(folder, noted)

    def _add(self, folder: Path, noted: NotedBoard) -> Aircraft:
        atomic.make_folder(folder / _BOARDS)
        named = (noted.board.board_type, noted.board.number)
        parts = [f"{noted.since.astimezone(UTC):%Y%m%dT%H%M%SZ}", *map(_cleaned, named)]
        path = folder / _BOARDS / f"{'_'.join(filter(None, parts))}.yaml"
        if not atomic.create(path, render_board(noted)):
            msg = f"{path} is there already"
            raise FileError(msg, hint="Nothing was overwritten. Run it again.")
        return _read(folder)

    def _free(self, tail: str) -> str:
        if not _TAIL.fullmatch(tail):
            msg = f"{tail!r} cannot be a tail number"
            raise UsageError(
                msg,
                hint="Letters, digits, `-`, `_` and `.`, at most 40, for it names a"
                " folder.",
            )
        # Some disks do not tell upper from lower case.
        if any(a.tail.casefold() == tail.casefold() for a in self.fleet()):
            raise _taken(tail)
        return tail


def backups_of(aircraft: Aircraft) -> Backups:
    """Where the backups of an aircraft are kept, named by its tail number."""
    return Backups(Path(aircraft.folder) / _BACKUPS, aircraft.tail)


def records_of(aircraft: Aircraft, tell: Callable[[str], None]) -> BenchRecords:
    """Where its bench work is written down, whatever board it had then."""
    return BenchRecords(Path(aircraft.folder) / _RECORDS, tell)


def _read(folder: Path) -> Aircraft:
    path = folder / FILE_NAME
    file = parse_aircraft(read_bytes(path), str(path))
    _require_tail(file.noted, folder, path)
    noted = max((file.noted, *_later(folder)), key=lambda noted: noted.since)
    return Aircraft(
        tail=file.noted.tail,
        title=file.title,
        board=noted.board,
        console=noted.console,
        console_hash=noted.console_hash,
        profile=str(folder / file.profile),
        folder=str(folder),
    )


def _later(folder: Path) -> list[NotedBoard]:
    found: list[NotedBoard] = []
    for path in sorted((folder / _BOARDS).glob("*.yaml")):
        noted = parse_board(read_bytes(path), str(path))
        _require_tail(noted, folder, path)
        found.append(noted)
    return found


def _require_tail(noted: NotedBoard, folder: Path, path: Path) -> None:
    """A folder that was copied for another aircraft still names the first one."""
    if noted.tail != folder.name:
        text = f"`tail:` is {noted.tail}, but the folder is {folder.name}"
        msg = f"{path} is about another aircraft"
        raise FileError(
            msg,
            hint="Nothing was written. Name the folder by its tail number.",
            problems=(Problem(Place(str(path), 1), text),),
        )


def _taken(tail: str) -> UsageError:
    return UsageError(
        f"there is an aircraft {tail} already",
        hint=f"Nothing was written. `benchlink aircraft {tail}` shows it.",
    )


def _seen_from(folder: Path, uses: Sequence[Path | str]) -> list[str]:
    here = folder.resolve()
    return [
        Path(os.path.relpath(use.resolve(), here)).as_posix()
        if isinstance(use, Path)
        else use
        for use in uses
    ]


def _empty_layer(title: str, noted: NotedBoard, uses: Sequence[str]) -> bytes:
    board_type = bare_or_quoted(noted.board.board_type.replace("[", "?"))
    lines = [
        f"{VERSION_KEY}: {VERSION}",
        f"title: {quoted(f'{title} as fitted')}",
        "layer: fitted",
        *([f"fits: {{boards: [{board_type}]}}"] if noted.board.board_type else []),
        *([f"uses: [{', '.join(map(bare_or_quoted, uses))}]"] if uses else []),
        "",
        "# What this one aircraft holds: centres, ends, level, how the board sits.",
        "# settings:",
        "#   tilt.left.centre_us: {value: 1487, reason: one tooth is left over}",
    ]
    return "".join(f"{line}\n" for line in lines).encode()


def _cleaned(text: str) -> str:
    return _NOT_IN_NAMES.sub("-", text).strip("-")

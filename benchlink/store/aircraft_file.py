"""The file that says which aircraft a folder is, and the one for each later board.

    benchlink-aircraft: 1
    tail: LW-03
    title: "Lapwing 3"
    made: "2026-03-01T10:20:30+00:00"
    board: {type: wader, firmware: 1.4.2, number: 44CB-9325}
    console: {name: wader, hash: 9f...}     approved when the board was noted
    profile: fitted.yaml                    its own layer, which uses all the others

A board that took another's place is an event, so it gets a file of its own, with the
first key `benchlink-board`, `since` instead of `made`, and no title or profile.
"""

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

from benchlink.core.document import Problems, TableReader
from benchlink.core.identity import Identity
from benchlink.store.notation import bare_or_quoted, quoted
from benchlink.store.strict_yaml import load_bytes

AIRCRAFT_KEY: Final = "benchlink-aircraft"
BOARD_KEY: Final = "benchlink-board"
_VERSION: Final = "1"
_NEVER: Final = datetime.min.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class NotedBoard:
    """One board of an aircraft, since when, and the console that was approved then."""

    tail: str
    since: datetime
    """With its offset from UTC."""
    board: Identity
    console: str
    console_hash: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AircraftFile:
    """What `aircraft.yaml` says."""

    title: str
    noted: NotedBoard
    profile: str


def render_aircraft(file: AircraftFile) -> bytes:
    """The whole of `aircraft.yaml`."""
    noted = file.noted
    lines = [
        f"{AIRCRAFT_KEY}: {_VERSION}",
        f"tail: {bare_or_quoted(noted.tail)}",
        f"title: {quoted(file.title)}",
        f"made: {quoted(noted.since.isoformat(timespec='seconds'))}",
        *_board_lines(noted),
        f"profile: {bare_or_quoted(file.profile)}",
    ]
    return _text(lines)


def render_board(noted: NotedBoard) -> bytes:
    """The whole file of a later board."""
    lines = [
        f"{BOARD_KEY}: {_VERSION}",
        f"tail: {bare_or_quoted(noted.tail)}",
        f"since: {quoted(noted.since.isoformat(timespec='seconds'))}",
        *_board_lines(noted),
    ]
    return _text(lines)


def parse_aircraft(data: bytes, name: str) -> AircraftFile:
    """Read `aircraft.yaml`.

    Raises:
        FileError: every mistake in it, with its place.
    """
    problems = Problems()
    reader = TableReader(load_bytes(data, name), problems, "an aircraft")
    _check_version(reader, AIRCRAFT_KEY)
    file = AircraftFile(
        title=reader.text("title"),
        noted=_noted(reader, "made"),
        profile=reader.need_text("profile"),
    )
    reader.finish()
    problems.stop_if_any(name)
    return file


def parse_board(data: bytes, name: str) -> NotedBoard:
    """Read the file of a later board.

    Raises:
        FileError: every mistake in it, with its place.
    """
    problems = Problems()
    reader = TableReader(load_bytes(data, name), problems, "a board of an aircraft")
    _check_version(reader, BOARD_KEY)
    noted = _noted(reader, "since")
    reader.finish()
    problems.stop_if_any(name)
    return noted


def _check_version(reader: TableReader, key: str) -> None:
    if reader.need_text(key) != _VERSION:
        reader.problems.add(reader.place, f"`{key}:` must be {_VERSION}")


def _noted(reader: TableReader, moment_key: str) -> NotedBoard:
    board_type, firmware, number = _texts(reader, "board", "type", "firmware", "number")
    console, console_hash = _texts(reader, "console", "name", "hash")
    return NotedBoard(
        tail=reader.need_text("tail"),
        since=_moment(reader, moment_key),
        board=Identity(board_type=board_type, firmware=firmware, number=number),
        console=console,
        console_hash=console_hash,
    )


def _texts(reader: TableReader, key: str, *fields: str) -> tuple[str, ...]:
    node = reader.need(key)
    if node is None:
        return ("",) * len(fields)
    table = TableReader(node, reader.problems, f"`{key}:`")
    texts = tuple(table.text(field) for field in fields)
    table.finish()
    return texts


def _moment(reader: TableReader, key: str) -> datetime:
    node = reader.need(key)
    if node is None:
        return _NEVER
    text = getattr(node, "text", "")
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        moment = datetime.min  # noqa: DTZ901  (told apart by its missing offset)
    if moment.tzinfo is None:
        reader.problems.add(
            node.place, f"`{key}:` must be a time with its offset, not {text!r}"
        )
        return _NEVER
    return moment


def _board_lines(noted: NotedBoard) -> list[str]:
    board = noted.board
    return [
        _table(
            "board", type=board.board_type, firmware=board.firmware, number=board.number
        ),
        _table("console", name=noted.console, hash=noted.console_hash),
    ]


def _table(key: str, **fields: str) -> str:
    inside = ", ".join(f"{k}: {bare_or_quoted(v)}" for k, v in fields.items())
    return f"{key}: {{{inside}}}"


def _text(lines: list[str]) -> bytes:
    return "".join(f"{line}\n" for line in lines).encode()

"""A backup's text back to what it was made from, once its hash is believed."""

from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from typing import Final

from benchlink.core.backup import Backup
from benchlink.core.document import (
    Items,
    Node,
    Problems,
    Scalar,
    Table,
    TableReader,
    kind_of,
)
from benchlink.core.identity import Identity
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.values import (
    SWITCH_WORDS,
    UNSET_WORD,
    Number,
    Series,
    Switch,
    Text,
    Unset,
    Value,
    Word,
    decimal_or_none,
)
from benchlink.errors import FileError
from benchlink.store.backup_text import LEFT_OUT, SEAL, VERSION, VERSION_KEY
from benchlink.store.strict_yaml import load_bytes
from benchlink.store.verbatim import to_bytes

MAX_BYTES: Final = 1 << 26
"""64 MiB: a raw copy may hold whatever a board said for minutes."""

_HEX_DIGITS: Final = 64
_HINT: Final = (
    "Nothing was sent to a board. Take another copy of this file, or an older backup. "
    "If somebody edited it: backups are evidence, changes belong in a profile."
)
_YES_NO: Final = {"yes": True, "no": False}


def parse(data: bytes, name: str) -> Backup:
    """Read a backup.

    Raises:
        FileError: damaged, cut short, edited, or not a backup at all.
    """
    body = _believed(data, name)
    problems = Problems()
    root = load_bytes(body, name, most=MAX_BYTES)
    backup = _backup(TableReader(root, problems, "a backup"))
    problems.stop_if_any(f"the backup {name}")
    return backup


def _believed(data: bytes, name: str) -> bytes:
    if f"{VERSION_KEY}: ".encode() not in data[:1024]:
        msg = f"{name} is not a backup of benchlink"
        raise FileError(msg, hint="Nothing was sent to a board. Name another file.")
    body, seal, rest = data.rpartition(SEAL)
    at_line_start = body.endswith(b"\n")
    if not seal or not at_line_start or len(rest) != _HEX_DIGITS + 1:
        msg = f"the backup {name} is cut short or damaged: its last line is not whole"
        raise FileError(msg, hint=_HINT)
    if rest != sha256(body).hexdigest().encode() + b"\n":
        msg = f"the backup {name} is damaged or was edited: its content hash differs"
        raise FileError(msg, hint=_HINT)
    return body


def _backup(reader: TableReader) -> Backup:
    version = reader.need_text(VERSION_KEY)
    if version != VERSION:
        reader.problems.add(
            reader.place, f"this benchlink reads backups of version {VERSION}"
        )
    # Both are told for a person: the values themselves say it again.
    reader.choice("full-copy", _YES_NO, default=False)
    reader.texts(LEFT_OUT)
    console, console_hash = _texts(reader, "console", "name", "hash")
    board_type, firmware, number = _texts(reader, "board", "type", "firmware", "number")
    backup = Backup(
        taken_at=_moment(reader),
        tool_version=reader.text("tool"),
        identity=Identity(board_type=board_type, firmware=firmware, number=number),
        snapshot=_snapshot(reader),
        console=console,
        console_hash=console_hash,
        command=reader.text("command"),
        note=reader.text("note"),
    )
    reader.finish()
    return backup


def _texts(reader: TableReader, key: str, *fields: str) -> tuple[str, ...]:
    table = reader.table(key, f"`{key}:`")
    if table is None:
        return ("",) * len(fields)
    texts = tuple(table.text(field) for field in fields)
    table.finish()
    return texts


def _moment(reader: TableReader) -> datetime:
    text = reader.need_text("taken")
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        moment = datetime.min  # noqa: DTZ901  (told apart by its missing offset)
    if moment.tzinfo is None:
        reader.problems.add(
            reader.place, f"`taken:` must be a time with its offset, not {text!r}"
        )
        return moment.replace(tzinfo=UTC)
    return moment


def _snapshot(reader: TableReader) -> Snapshot:
    marks = _Marks.of(reader)
    values = _values(reader)
    settings = {
        name: Setting(
            name=name,
            value=value,
            raw=marks.written.get(name, str(value)),
            writable=name not in marks.read_only,
            board_owned=name in marks.board_owned,
            volatile=name in marks.volatile,
        )
        for name, value in values.items()
    }
    return Snapshot(
        settings=settings,
        not_understood=tuple(s.text for s in reader.texts("not-understood")),
        verbatim=_verbatim(reader),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Marks:
    """What is noted about settings beside their values."""

    written: dict[str, str]
    read_only: frozenset[str]
    board_owned: frozenset[str]
    volatile: frozenset[str]

    @classmethod
    def of(cls, reader: TableReader) -> "_Marks":
        """Take the lists of names from the file."""
        written = reader.table("as-written", "`as-written:`")
        entries = written.entries() if written else ()
        return cls(
            written={
                e.key.text: e.value.text for e in entries if isinstance(e.value, Scalar)
            },
            read_only=_names(reader, "read-only"),
            board_owned=_names(reader, "board-owned"),
            volatile=_names(reader, "volatile"),
        )


def _names(reader: TableReader, key: str) -> frozenset[str]:
    return frozenset(scalar.text for scalar in reader.texts(key))


def _values(reader: TableReader) -> dict[str, Value]:
    table = reader.table("settings", "`settings:`")
    if table is None:
        return {}
    values: dict[str, Value] = {}
    for entry in table.entries():
        try:
            values[entry.key.text] = value_of(entry.value)
        except ValueError as exc:
            table.problems.add(entry.value.place, str(exc))
    return values


def value_of(node: Node) -> Value:
    """The value behind our own spelling of it.

    Raises:
        ValueError: nothing that `notation` writes.
    """
    match node:
        case Scalar(text=text, quoted=True):
            return Text(text)
        case Scalar(text=text):
            return _bare(text)
        case Items(items=items):
            return Series(tuple(map(value_of, items)))
        case Table():
            word = node.get("word")
            if isinstance(word, Scalar) and len(node.entries) == 1:
                return Word(word.text)
            msg = f"not a value but {kind_of(node)}"
            raise ValueError(msg)


def _bare(text: str) -> Value:
    if text in SWITCH_WORDS:
        return Switch(SWITCH_WORDS[text])
    if text == UNSET_WORD:
        return Unset()
    number = decimal_or_none(text)
    return Word(text) if number is None else Number(number)


def _verbatim(reader: TableReader) -> bytes:
    scalars = reader.texts("verbatim")
    try:
        return to_bytes(tuple(scalar.text for scalar in scalars))
    except ValueError as exc:
        reader.problems.add(scalars[0].place, f"`verbatim:` is damaged: {exc}")
        return b""

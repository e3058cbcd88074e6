r"""A journal as text: JSON Lines, one setting a line, then one line a mark.

{"benchlink-journal": 1, "kind": "change", "opened": "2025-03-01T10:20:30+00:00",
 "what": "apply lapwing", "board": {"type": ..., "firmware": ..., "number": ...},
 "console": {"name": "wader", "hash": "9f..."}, "port": ..., "backup": ...}   (one line)
{"name": "tilt.left.centre_us", "old": "1500", "new": "1523", "stage": 1, "planned": true}
{"name": "level.roll_deg", "old": "0.4"}           nothing asked of it: stays as it was
{"settings": 412, "planned": 7, "hash": SHA-256 in hex of all bytes above this line}
{"mark": "WRITING", "stage": 1, "at": "2025-03-01T10:20:31+00:00"}
...
and blanks: room for more marks, taken while the disk still had it.

Values stand in our own notation, as in backups. A line that was cut off by a crash is
the last one and counts as never written.
"""

import json
from collections.abc import Iterator, Mapping
from datetime import datetime
from decimal import Decimal, InvalidOperation
from hashlib import sha256
from typing import Final

from benchlink.core.identity import Identity
from benchlink.core.intent import NO_TOLERANCE
from benchlink.core.journal import Entry, Kind, Mark, Step, Story, Transaction
from benchlink.core.values import Value
from benchlink.errors import BenchError, FileError
from benchlink.store.backup_reader import value_of
from benchlink.store.backup_text import notation
from benchlink.store.strict_yaml import load

VERSION_KEY: Final = "benchlink-journal"
VERSION: Final = 1
_HINT: Final = (
    "Nothing was sent to a board. The backup taken before the change is whole:"
    " `benchlink restore` brings the board back to it."
)

Json = Mapping[str, object]


def render(transaction: Transaction) -> bytes:
    """Everything before the marks."""
    lines = [_head(transaction), *map(_entry, transaction.entries.values())]
    body = "".join(f"{json.dumps(line)}\n" for line in lines).encode()
    end = {
        "settings": len(transaction.entries),
        "planned": len(transaction.planned),
        "hash": sha256(body).hexdigest(),
    }
    return body + f"{json.dumps(end)}\n".encode()


def render_step(step: Step, at: datetime) -> bytes:
    """One mark."""
    line = {"mark": step.mark.name, "stage": step.stage, "at": at.isoformat()}
    return f"{json.dumps(line)}\n".encode()


def parse(data: bytes, name: str) -> tuple[Transaction, Story, int]:
    """Read a journal; also gives the offset at which its next mark belongs.

    Raises:
        FileError: it is damaged, or none of ours.
    """
    try:
        return _parse(data)
    except (ValueError, KeyError, TypeError, InvalidOperation, BenchError) as exc:
        msg = f"the journal {name} is damaged: {exc}"
        raise FileError(msg, hint=_HINT) from exc


def _parse(data: bytes) -> tuple[Transaction, Story, int]:
    head: Json = {}
    entries: dict[str, Entry] = {}
    at = 0
    for line in data.splitlines(keepends=True):
        told = _table(line)
        if "hash" in told:
            if told["hash"] != sha256(data[:at]).hexdigest():
                msg = "its settings are not those that were written"
                raise ValueError(msg)
            at += len(line)
            break
        at += len(line)
        if head:
            entry = _read_entry(told)
            entries[entry.name] = entry
        else:
            head = told
    else:
        msg = "its settings are cut short"
        raise ValueError(msg)
    transaction = _transaction(head, entries)
    steps, end = _steps(data, at)
    return transaction, Story((Step(Mark.READY), *steps)), end


def _steps(data: bytes, at: int) -> tuple[list[Step], int]:
    steps: list[Step] = []
    for line in data[at:].splitlines(keepends=True):
        if not line.strip() or not line.endswith(b"\n"):
            break
        try:
            told = _table(line)
        except ValueError:
            break
        stage = told["stage"]
        if not isinstance(stage, int):
            msg = "the stage of a mark is no number"
            raise TypeError(msg)
        steps.append(Step(Mark[_text(told, "mark")], stage))
        at += len(line)
    return steps, at


def _head(transaction: Transaction) -> Json:
    board = transaction.identity
    return {
        VERSION_KEY: VERSION,
        "kind": transaction.kind.value,
        "opened": transaction.opened_at.isoformat(),
        "what": transaction.what,
        "board": {
            "type": board.board_type,
            "firmware": board.firmware,
            "number": board.number,
        },
        "console": {
            "name": transaction.console,
            "hash": transaction.console_hash,
        },
        "port": transaction.port,
        "backup": transaction.backup,
    }


def _entry(entry: Entry) -> Json:
    return dict(_cells(entry))


def _cells(entry: Entry) -> Iterator[tuple[str, object]]:
    yield "name", entry.name
    yield "old", notation(entry.old)
    if entry.new is not None:
        yield "new", notation(entry.new)
        yield "stage", entry.stage
    if entry.within:
        yield "within", str(entry.within)
    if entry.planned:
        yield "planned", True


def _transaction(head: Json, entries: Mapping[str, Entry]) -> Transaction:
    if head[VERSION_KEY] != VERSION:
        msg = f"this benchlink reads journals of version {VERSION}"
        raise ValueError(msg)
    board, console = _inner(head, "board"), _inner(head, "console")
    return Transaction(
        kind=Kind(head["kind"]),
        opened_at=datetime.fromisoformat(_text(head, "opened")),
        what=_text(head, "what"),
        identity=Identity(
            board_type=_text(board, "type"),
            firmware=_text(board, "firmware"),
            number=_text(board, "number"),
        ),
        console=_text(console, "name"),
        console_hash=_text(console, "hash"),
        port=_text(head, "port"),
        backup=_text(head, "backup"),
        entries=entries,
    )


def _read_entry(told: Json) -> Entry:
    stage = told.get("stage", 1)
    if not isinstance(stage, int):
        msg = "a stage is no number"
        raise TypeError(msg)
    return Entry(
        name=_text(told, "name"),
        old=_value(_text(told, "old")),
        new=_value(_text(told, "new")) if "new" in told else None,
        stage=stage,
        within=Decimal(_text(told, "within")) if "within" in told else NO_TOLERANCE,
        planned=told.get("planned") is True,
    )


def _value(text: str) -> Value:
    return value_of(load(text, "a value"))


def _table(line: bytes) -> Json:
    told = json.loads(line)
    if not isinstance(told, dict):
        msg = "a line is no table"
        raise ValueError(msg)
    return told


def _inner(told: Json, key: str) -> Json:
    inner = told[key]
    if not isinstance(inner, dict):
        msg = f"`{key}` is no table"
        raise TypeError(msg)
    return inner


def _text(told: Json, key: str) -> str:
    text = told[key]
    if not isinstance(text, str):
        msg = f"`{key}` is no text"
        raise TypeError(msg)
    return text

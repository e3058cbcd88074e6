r"""A backup as text: a file that a person can read, sealed by a hash of its bytes.

# NOT A FULL COPY: 3 lines were not understood       only when that is so
benchlink-backup: 1
taken: "2025-03-01T10:20:30+00:00"
tool: 0.1.0
board: {type: wader, firmware: 1.4.2, number: 7F3A-0192}
console: {name: wader, hash: 9f...}
command: recite
note: "before the first hover"
full-copy: yes
left-out: [reed.mark]              settings whose bytes are no text: no line writes them
settings:
  tilt.left.centre_us: 1500         a number, digit by digit
  level.self_levelling: on          a switch, whatever word the board has for it
  output.p1.job: tilt-left          a word out of the board's list of choices
  craft.call: "Lapwing 3"           text, always in double quotes
  mount.offset_mm: [12, 0, -5]      a list
  log.mode: {word: "on"}            a word that would read as something else
as-written: {level.self_levelling: "yes"}    where the board spells it otherwise
read-only: [board.number]           names of settings that cannot be written,
board-owned: [accel.offset_x_mg]    that belong to the circuit board,
volatile: [board.uptime_s]          that differ at every look
not-understood: ["line"]
verbatim:                           every byte of the listing
  - '  tilt.left.centre_us: 1500\r\n'
content-hash: SHA-256 in hex of all bytes above this line

Keys without anything to say are left out.
"""

from collections.abc import Iterable, Iterator
from hashlib import sha256
from typing import Final

from benchlink.core.backup import Backup
from benchlink.core.settings import Setting
from benchlink.core.values import Number, Series, Switch, Text, Unset, Value, Word
from benchlink.store.notation import bare_or_quoted, is_bare_word, quoted
from benchlink.store.verbatim import to_lines

VERSION_KEY: Final = "benchlink-backup"
VERSION: Final = "1"
LEFT_OUT: Final = "left-out"
SEAL: Final = b"content-hash: "

_PLEASE: Final = "# Made to be read, not edited: to change a board, edit a profile.\n"
_LONGEST_KEY: Final = 1000
"""YAML 1.1, section 7.4.2: a key before `:` has at most 1024 characters."""


def render(backup: Backup) -> bytes:
    """The whole file."""
    body = "".join(_lines(backup)).encode()
    return body + SEAL + sha256(body).hexdigest().encode() + b"\n"


def _lines(backup: Backup) -> Iterator[str]:
    yield _completeness(backup)
    yield _PLEASE
    yield f"{VERSION_KEY}: {VERSION}\n"
    yield f"taken: {quoted(backup.taken_at.isoformat())}\n"
    yield f"tool: {bare_or_quoted(backup.tool_version)}\n"
    board = backup.identity
    yield _table(
        "board", type=board.board_type, firmware=board.firmware, number=board.number
    )
    yield _table("console", name=backup.console, hash=backup.console_hash)
    yield f"command: {bare_or_quoted(backup.command)}\n"
    yield f"note: {quoted(backup.note)}\n"
    yield f"full-copy: {'yes' if backup.full else 'no'}\n"
    yield from _list(LEFT_OUT, map(bare_or_quoted, backup.left_out))
    yield from _snapshot(backup)


def _completeness(backup: Backup) -> str:
    if backup.full:
        return ""
    if not backup.snapshot.settings:
        return "# NOT A FULL COPY: every byte was kept, nothing understood yet\n"
    return f"# NOT A FULL COPY: {backup.lacking}\n"


def _snapshot(backup: Backup) -> Iterator[str]:
    snapshot = backup.snapshot
    settings = tuple(snapshot.settings.values())
    if settings:
        yield "settings:\n"
        yield from (_pair(s.name, notation(s.value)) for s in settings)
    otherwise = [s for s in settings if s.raw != str(s.value)]
    if otherwise:
        yield "as-written:\n"
        yield from (_pair(s.name, quoted(s.raw)) for s in otherwise)
    yield from _names("read-only", (s for s in settings if not s.writable))
    yield from _names("board-owned", (s for s in settings if s.board_owned))
    yield from _names("volatile", (s for s in settings if s.volatile))
    yield from _list("not-understood", map(quoted, snapshot.not_understood))
    yield from _list("verbatim", map(_single, to_lines(snapshot.verbatim)))


def _table(key: str, **fields: str) -> str:
    inside = ", ".join(f"{k}: {bare_or_quoted(v)}" for k, v in fields.items())
    return f"{key}: {{{inside}}}\n"


def _pair(name: str, value: str) -> str:
    key = bare_or_quoted(name)
    if len(key) > _LONGEST_KEY:
        return f"  ? {key}\n  : {value}\n"
    return f"  {key}: {value}\n"


def _names(key: str, settings: Iterable[Setting]) -> Iterator[str]:
    return _list(key, (bare_or_quoted(s.name) for s in settings))


def _list(key: str, items: Iterable[str]) -> Iterator[str]:
    lines = [f"  - {item}\n" for item in items]
    if lines:
        yield f"{key}:\n"
        yield from lines


def _single(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


def notation(value: Value) -> str:
    """A value in our own spelling, its kind unmistakable."""
    match value:
        case Number() | Switch() | Unset():
            return str(value)
        case Text(text):
            return quoted(text)
        case Word(word):
            return word if is_bare_word(word) else f"{{word: {quoted(word)}}}"
        case Series(values):
            return "[" + ", ".join(map(notation, values)) + "]"

r"""A recording as text: JSON Lines, from a heading over entries to an end line.

    {"benchlink-recording": 1, "version": "0.1.0", "port": "/dev/ttyACM0", ...}
    {"ms": 0.041, "mark": "opened", "port": "/dev/ttyACM0", "speed": 115200}
    {"ms": 0.102, "sent": "\u0015"}
    {"ms": 1.873, "heard": "wader 1.4.2\r\n@ "}
    {"end": "complete", "entries": 3, "sent_bytes": 1, "heard_bytes": 15, ...}

Bytes stand as a JSON string (RFC 8259) with one character a byte, U+0000 to U+00FF, all
but printable ASCII escaped: text reads as text, and every byte comes back exactly. The
file is ASCII. Times are milliseconds from the start, on a clock that never jumps.
Without its end line a recording was cut off, and holds up to its last whole line.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum
from typing import Final

FORMAT_KEY: Final = "benchlink-recording"
FORMAT: Final = 1
END_KEY: Final = "end"
ONE_CHARACTER_A_BYTE: Final = "latin-1"


class Way(Enum):
    """Which way bytes went, as seen from here."""

    SENT = "sent"
    HEARD = "heard"


class Happening(Enum):
    """What happened to the port or the board besides bytes."""

    OPENED = "opened"
    LOST = "lost"
    REOPENED = "reopened"
    RESTARTED = "restarted"
    """The board was told to restart; a new epoch begins."""


class Ending(Enum):
    """Why a recording ends where it does."""

    COMPLETE = "complete"
    LIMIT = "limit reached"


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """What was recorded, and with what."""

    version: str
    """Of the tool."""
    port: str
    kind: str
    """tty, pty, tcp, rfc2217 or replay."""
    speed: int
    """Baud asked for; what paced each wire stands with its mark."""
    started: datetime
    console: str = ""
    """Name of the console description; empty where there was none."""
    console_hash: str = ""
    told: Mapping[str, str] = field(default_factory=dict)
    """What the person answered to what the console asks for, secrets left out."""
    withheld: tuple[str, ...] = ()
    """Names of the secrets, which stand nowhere in the recording."""


@dataclass(frozen=True, slots=True)
class Spoken:
    """Bytes, at `at_ms` milliseconds from the start."""

    at_ms: float
    way: Way
    data: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """Something that happened, at `at_ms` milliseconds from the start."""

    at_ms: float
    what: Happening
    port: str = ""
    speed: int | None = None
    """Baud that paced the wire; None on a pty or a plain socket."""
    epoch: int = 0


Entry = Spoken | Mark


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """What a recording holds, for its end line."""

    entries: int
    sent_bytes: int
    """Bytes as they stand in the text: a withheld secret does not tell its length."""
    heard_bytes: int
    withheld: int
    """How often a secret was left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recording:
    """A recording that was read."""

    heading: Heading
    entries: tuple[Entry, ...]
    ending: Ending | None
    """None where it was cut off."""


def stand_in(secret_name: str) -> str:
    """What a recording holds in place of a secret; a replay tells it to the console."""
    return f"<{secret_name} withheld>"


def heading_line(heading: Heading) -> bytes:
    """The first line."""
    return _line(
        {
            FORMAT_KEY: FORMAT,
            "version": heading.version,
            "port": heading.port,
            "kind": heading.kind,
            "speed": heading.speed,
            "console": heading.console,
            "console_hash": heading.console_hash,
            "started": heading.started.isoformat(),
            "told": dict(heading.told),
            "withheld": list(heading.withheld),
        }
    )


def entry_line(entry: Entry) -> bytes:
    """One entry."""
    told: dict[str, object] = {"ms": round(entry.at_ms, 3)}
    match entry:
        case Spoken():
            told[entry.way.value] = entry.data.decode(ONE_CHARACTER_A_BYTE)
        case Mark(what=Happening.RESTARTED):
            told |= {"mark": entry.what.value, "epoch": entry.epoch}
        case Mark(what=Happening.LOST):
            told |= {"mark": entry.what.value, "port": entry.port}
        case Mark():
            told |= {
                "mark": entry.what.value,
                "port": entry.port,
                "speed": entry.speed,
            }
    return _line(told)


def end_line(ending: Ending, totals: Totals, sha256: str) -> bytes:
    """The last line; the hash covers every byte before it."""
    return _line(
        {
            END_KEY: ending.value,
            "entries": totals.entries,
            "sent_bytes": totals.sent_bytes,
            "heard_bytes": totals.heard_bytes,
            "withheld": totals.withheld,
            "sha256": sha256,
        }
    )


def _line(told: Mapping[str, object]) -> bytes:
    # U+007F is ASCII, so JSON leaves it as it is; a terminal would not show it.
    return json.dumps(told).replace("\x7f", "\\u007f").encode("ascii") + b"\n"

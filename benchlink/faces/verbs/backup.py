"""`benchlink backup`: keep everything that is on the board."""

import re
from collections.abc import Sequence

from benchlink.console.description import LineEnd
from benchlink.core.backup import Backup
from benchlink.core.identity import Identity
from benchlink.core.settings import Snapshot
from benchlink.errors import SilentBoardError, UsageError
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard, at_board, choice_of
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.output import Json, give, identity_data
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.raw_line import require_harmless
from benchlink.faces.talker import Talker
from benchlink.faces.undescribed import open_undescribed
from benchlink.faces.wiring import (
    choose_port,
    clock,
    factory_shelf,
    known_console,
    now,
    records,
    require_free,
)
from benchlink.link.capture import Ending, capture
from benchlink.link.replay import SCHEME
from benchlink.link.trouble import lost
from benchlink.units import Seconds
from benchlink.version import VERSION
from benchlink.workflows.backup import Kept, back_up
from benchlink.workflows.factory import keep_fresh, start_over
from benchlink.workflows.finishing import require_finished

QUIET = Seconds(0.5)
FIRST = Seconds(5.0)
"""How long a board may take to begin."""
LONGEST = Seconds(120.0)
BYTE = re.compile(r"0x[0-9A-Fa-f]{2}")
MOST_SHOWN = 12
"""Lines shown of what a copy lacks."""


def run(given: Given) -> int:
    """Keep a copy and say where it stands."""
    if given.reset and not given.factory:
        msg = "`--reset` goes with `--factory` only"
        raise UsageError(msg, hint="Nothing was sent to a board.")
    raw = given.raw if given.raw_key is None else given.raw_key
    if raw is not None:
        person = PlainPerson()
        return _told(_raw(given, raw, person), "", given, person)
    with at_board(given) as at:
        return at_work(at, given)


def at_work(at: AtBoard, given: Given) -> int:
    """The same of a board that is open and described."""
    kept, tail = _whole(at, given)
    return _told(kept, tail, given, at.person)


def _told(kept: Kept, tail: str, given: Given, person: Talker) -> int:
    snapshot = kept.backup.snapshot
    lines = [f"backup    {kept.path}", f"board     {kept.backup.identity}"]
    if tail:
        lines.append(f"aircraft  {tail}")
    if snapshot.settings:
        lines.append(f"settings  {len(snapshot.settings)}")
    if not kept.backup.console:
        lines.append(f"bytes     {len(snapshot.verbatim)}, not understood yet")
    elif not kept.backup.full:
        lines.append(f"NOT A FULL COPY: {kept.backup.lacking}:")
        lines += _few((*snapshot.not_understood, *_left_out(kept.backup)))
    data: Json = {
        "path": kept.path,
        "aircraft": tail or None,
        "board": identity_data(kept.backup.identity),
        "settings": len(snapshot.settings),
        "full": kept.backup.full,
        "not_understood": list(snapshot.not_understood),
        "left_out": list(kept.backup.left_out),
        "fingerprint": snapshot.fingerprint(),
    }
    given.out = None
    give(given, data, lines, person)
    return ExitCode.SAME


def _left_out(backup: Backup) -> list[str]:
    """Settings that no line can write back, with what the board holds there."""
    settings = backup.snapshot.settings
    return [f"{name}: {settings[name].raw}" for name in backup.left_out]


def _few(texts: Sequence[str]) -> list[str]:
    """The first of many lines: all of them are in the file."""
    left = len(texts) - MOST_SHOWN
    more = [f"  ... and {left} more, all of them in the file"] if left > 0 else []
    return [*(f"  {text}" for text in texts[:MOST_SHOWN]), *more]


def _whole(at: AtBoard, given: Given) -> tuple[Kept, str]:
    """The copy, and the aircraft that it is of."""
    tail = at.aircraft.tail if at.aircraft else ""
    if given.factory and at.aircraft and not given.reset:
        msg = f"this board sits in {tail}: it is not as it was made"
        raise UsageError(
            msg,
            hint="Nothing was kept. Plug in a fresh board, or add `--reset`.",
        )
    if given.factory:
        # A fresh board is one for all aircraft.
        return _fresh(at, given), ""
    records_here, label = at.records(given.out), at.stamp(given.note)
    return back_up(at.bench.session, at.person, records_here, label), tail


def _fresh(at: AtBoard, given: Given) -> Kept:
    session, shelf = at.bench.session, factory_shelf()
    shelf.path(session.identity)
    label = at.stamp(given.note)
    if given.reset:
        require_finished(at.found)
        return start_over(session, at.person, at.records(given.out), shelf, label)
    return keep_fresh(session, at.person, shelf, label, agreed=given.yes)


def _line(command: str, end: str) -> bytes:
    return command.encode() + LineEnd[end].value


def _key(key: str) -> bytes:
    """One key as it is sent.

    Raises:
        UsageError: it is more than one.
    """
    data = bytes([int(key, 16)]) if BYTE.fullmatch(key) else key.encode()
    if len(data) != 1:
        msg = f"{key!r} is not one key"
        raise UsageError(
            msg, hint="Nothing was sent. One character, or 0x05 for a byte."
        )
    return data


def _raw(given: Given, command: str, person: Talker) -> Kept:
    """Keep the bytes that a command brings, with no description of the console."""
    if given.raw_key is None and not command.strip():
        msg = "an empty line may repeat the last command: it is never sent"
        raise UsageError(msg, hint="Nothing was sent. Name the line that lists.")
    if not command.isprintable():
        msg = f"the command {command!r} holds a control character"
        raise UsageError(msg, hint="Nothing was sent. One plain line at a time.")
    require_free(given.out)
    choice = choice_of(given)
    line = _line(command, given.raw_end) if given.raw_key is None else _key(command)
    port = choose_port(choice)
    if not port.url.startswith(SCHEME):
        require_harmless(command, line, known_console(choice, port, person), person)
    with open_undescribed(choice, person) as wire:
        port = wire.device
        person.tell(
            f"Waiting for what {port.url} says to `{command}`: {FIRST:g} s for the first"
            f" byte, {QUIET:g} s without one at the end, {LONGEST:g} s for all of it."
        )
        heard = capture(
            wire,
            line,
            quiet=QUIET,
            first=FIRST,
            longest=LONGEST,
            clock=clock,
        )
    if heard.ending is Ending.NOTHING:
        msg = f"{port.url} answered nothing to {command!r} within {FIRST:g} s"
        raise SilentBoardError(
            msg,
            hint="Nothing was kept. Wrong speed, or another line end (`--raw-end`), or"
            " does it wait for a key (`--raw-key`)?",
        )
    if heard.ending is Ending.LOST:
        trouble = lost(port.url)
        trouble.hint = f"Nothing was kept. {trouble.hint}"
        raise trouble
    if heard.ending is Ending.TOO_LONG:
        person.tell(f"NOT A FULL COPY: {heard.ending.value}")
    backup = Backup(
        taken_at=now(),
        tool_version=VERSION,
        identity=Identity(),
        snapshot=Snapshot(settings={}, verbatim=heard.data),
        console="",
        console_hash="",
        command=command,
        note=given.note,
    )
    return Kept(backup=backup, path=records(given.out).keep_backup(backup))

"""What a verb asks of the board: a file that was named, or the aircraft's own layers."""

from dataclasses import replace
from pathlib import Path

from benchlink.core.aircraft import Aircraft
from benchlink.core.backup import Backup
from benchlink.core.doors import Person
from benchlink.core.identity import Identity
from benchlink.core.intent import Intent
from benchlink.errors import FileError, UsageError
from benchlink.faces.at_board import AtBoard
from benchlink.faces.hangar import own_layers, under_own_layers
from benchlink.faces.named_files import AskedOf, as_today, read_asked
from benchlink.faces.wiring import Bench, factory_shelf
from benchlink.store.backups import intent_from_backup


def read_named(named: str | None) -> AskedOf | None:
    """Read the file that was named, if any, before a board is opened.

    Raises:
        FileError: it cannot be used, with every mistake in it.
    """
    return read_asked(named) if named else None


def asked_of(at: AtBoard, named: AskedOf | None) -> Intent:
    """What is asked of this board, with all that its aircraft decides by itself.

    Raises:
        UsageError: nothing was named, and nobody knows the aircraft.
        FileError: the aircraft's own layers have mistakes.
    """
    if named is None:
        return own_layers(_require_aircraft(at))
    intent = named(at.bench)
    return under_own_layers(intent, at.aircraft, at.person) if at.aircraft else intent


def as_made(bench: Bench) -> Intent:
    """What a fresh board of this type and firmware holds.

    Raises:
        UsageError: nobody kept a copy of a fresh one.
        FileError: the copy is damaged, or today's description cannot read it.
    """
    identity = bench.session.identity
    path = factory_shelf().path(identity)
    backup = as_today(require_factory(identity), path, bench).backup
    intent = intent_from_backup(backup, str(path), same_board=False)
    return replace(intent, title=f"a fresh board ({_kind(identity)})")


def require_factory(identity: Identity) -> Backup:
    """The copy of a fresh board.

    Raises:
        UsageError: nobody kept one.
        FileError: it is damaged.
    """
    found = factory_shelf().find(identity)
    if found is not None:
        return found
    msg = f"there is no copy of a fresh board ({_kind(identity)})"
    raise UsageError(
        msg,
        hint="Plug in a fresh one and run `benchlink backup --factory`; or, on a board"
        " whose values may be thrown away, `benchlink backup --factory --reset`.",
    )


def factory_at_hand(bench: Bench, person: Person) -> Backup | None:
    """The copy of a fresh board, if there is one; a damaged one is only told."""
    identity = bench.session.identity
    try:
        found = factory_shelf().find(identity)
        path = factory_shelf().path(identity) if found else Path()
        return as_today(found, path, bench).backup if found else None
    except FileError as error:
        person.tell(f"{error}. {error.hint}")
        return None


def _kind(identity: Identity) -> str:
    firmware = f", firmware {identity.firmware}" if identity.firmware else ""
    return f"{identity.board_type or 'of no known type'}{firmware}"


def _require_aircraft(at: AtBoard) -> Aircraft:
    if at.aircraft is not None:
        return at.aircraft
    msg = "no profile was named, and nobody has said which aircraft this board is in"
    raise UsageError(
        msg,
        hint="Only questions were sent. Name a profile (the full screen: leave, and open"
        " it again as `benchlink --profile NAME`); or make the aircraft's folder with"
        " `benchlink aircraft TAIL --uses NAME`.",
    )

"""Keeping what is on a board, before anything else is done to it."""

from dataclasses import dataclass
from datetime import datetime

from benchlink.core.backup import Backup
from benchlink.core.doors import Person, Records
from benchlink.core.settings import Snapshot
from benchlink.workflows.read import read_settled
from benchlink.workflows.session import Session


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """What goes onto a backup from outside: when, with what, and why."""

    taken_at: datetime
    tool_version: str
    console_hash: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A backup and where it stands."""

    backup: Backup
    path: str


def back_up(session: Session, person: Person, records: Records, stamp: Stamp) -> Kept:
    """Read the board twice and keep it.

    Raises:
        BoardError: the readings do not agree; nothing is written.
        FileError: the file could not be written.
    """
    return keep(session, read_settled(session, person, "backing up"), records, stamp)


def keep(session: Session, snapshot: Snapshot, records: Records, stamp: Stamp) -> Kept:
    """Keep a snapshot that was already read."""
    backup = Backup(
        taken_at=stamp.taken_at,
        tool_version=stamp.tool_version,
        identity=session.identity,
        snapshot=snapshot,
        console=session.grammar.description.name,
        console_hash=stamp.console_hash,
        command=session.grammar.listing_line,
        note=stamp.note,
    )
    return Kept(backup=backup, path=records.keep_backup(backup))

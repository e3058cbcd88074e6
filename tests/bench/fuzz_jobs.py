"""Identify, back up and compare over a damaging wire, held against the board's store.

Whatever a backup holds must be what the board really held, name by name, or be
reported as not understood; everything else ends in a typed error.
"""

from collections import Counter
from dataclasses import dataclass, field
from random import Random
from typing import Final, final

import pytest

from benchlink.console.grammar import Grammar
from benchlink.core.backup import Backup
from benchlink.core.settings import Snapshot, moved
from benchlink.errors import BenchError, MisuseError
from benchlink.store.backup_reader import parse
from benchlink.store.backup_text import render
from benchlink.store.backups import intent_from_backup
from benchlink.workflows.backup import back_up
from benchlink.workflows.compare import compare_board
from benchlink.workflows.session import meet
from tests.bench.fuzz_replay import WrongError, require
from tests.bench.fuzz_sessions import Subject
from tests.bench.fuzz_wire import DamagingWire
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import STAMP
from tests.support.virtual_board import VirtualBoard

HARMS: Final = (0, 1, 1, 2, 3, 5, 10, 30, 100)
"""How often something is spoiled in the time of two undamaged jobs."""
PIECES: Final = (0, 1, 7, 16, 64)
"""Bytes that arrive at once; 0 for all that there are."""
COMPARED: Final = "backed up and compared"


@dataclass(slots=True)
class Tally:
    """What came of the jobs so far."""

    ends: Counter[str] = field(default_factory=Counter)
    """Jobs by how they ended."""
    values: int = 0
    """Values held by the backups that were made, none of them false."""
    damaged: int = 0
    """Backups that were made although the wire spoiled something."""
    incomplete: int = 0
    """Backups that say themselves that something is not understood."""
    misnamed: int = 0
    """Backups whose board is called otherwise than it said."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clean:
    """The job over a good wire."""

    backup: Backup
    said: bytes


@final
class Jobs:
    """Does one job after another, each on a board that was just switched on."""

    def __init__(self) -> None:
        self.tally: Final = Tally()
        self._clean: Final[dict[str, Clean]] = {}

    def run(self, chance: Random, subject: Subject, other: Subject) -> None:
        """One job; pieces of what the other board says may turn up.

        Raises:
            WrongError: a false value, a setting that is missing without a word, a
                board that changed, or no end.
        """
        good = self._good(subject)
        foreign = self._good(other).said
        span = 2 * len(good.said)
        places = [chance.randrange(span) for _ in range(chance.choice(HARMS))]
        wire = DamagingWire(chance, subject.description, places, foreign)
        try:
            board = subject.board(wire, chance.choice(PIECES))
            before = subject.shown(board)
            backup = _backed_up(subject, board)
            self._hold_against(before, backup, good)
            self.tally.damaged += wire.done > 0
            self._compare(subject, board, backup)
        except MisuseError as exc:
            msg = f"our own mistake: {exc}"
            raise WrongError(msg) from exc
        except BenchError as exc:
            self.tally.ends[type(exc).__name__] += 1
            return
        except pytest.fail.Exception as exc:
            msg = f"it never ends: {exc}"
            raise WrongError(msg) from exc
        require("reading changes nothing", good=subject.shown(board) == before)

    def _good(self, subject: Subject) -> Clean:
        if subject.name not in self._clean:
            said = bytearray()

            def note(data: bytes) -> bytes:
                said.extend(data)
                return data

            backup = _backed_up(subject, subject.board(note))
            self._clean[subject.name] = Clean(backup=backup, said=bytes(said))
        return self._clean[subject.name]

    def _hold_against(self, held: dict[str, str], backup: Backup, good: Clean) -> None:
        snapshot = backup.snapshot
        for name, setting in snapshot.settings.items():
            if not setting.volatile:
                true = held.get(name) == setting.raw
                require(f"false: {name}: {setting.raw}", good=true)
        _same_traits(snapshot, good.backup.snapshot)
        missing = held.keys() - snapshot.settings.keys()
        if missing:
            require(f"silently missing: {sorted(missing)}", good=not snapshot.complete)
        again = parse(render(backup), "copy").snapshot
        require("the file holds the same", good=not moved(again, snapshot))
        self.tally.values += len(snapshot.settings)
        self.tally.incomplete += not snapshot.complete
        self.tally.misnamed += backup.identity != good.backup.identity

    def _compare(self, subject: Subject, board: VirtualBoard, backup: Backup) -> None:
        session = meet(board, Grammar(subject.description))
        intent = intent_from_backup(backup, "the copy", same_board=True)
        found = compare_board(session, ScriptedPerson(), intent).difference
        both = found.same or not backup.snapshot.complete
        require("a board differs from its own copy", good=both)
        self.tally.ends[COMPARED] += 1


def _same_traits(found: Snapshot, good: Snapshot) -> None:
    for name, setting in found.settings.items():
        there = good.settings.get(name)
        if there is not None and not setting.volatile:
            same = (setting.writable, setting.board_owned) == (
                there.writable,
                there.board_owned,
            )
            require(f"whose it is: {name}", good=same)


def _backed_up(subject: Subject, board: VirtualBoard) -> Backup:
    session = meet(board, Grammar(subject.description))
    return back_up(session, ScriptedPerson(), Shelf(), STAMP).backup

"""Rows, facts and copies for tests of the values page."""

from dataclasses import replace
from datetime import UTC, datetime
from io import StringIO
from pathlib import Path
from typing import Final

from benchlink.core.aircraft import Aircraft
from benchlink.core.backup import Backup
from benchlink.core.difference import compare
from benchlink.core.intent import Owner
from benchlink.faces.at_board import AtBoard
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.screen.frame.marks import Mark
from benchlink.faces.screen.threads.rows import Row, Use, rows_of
from benchlink.faces.screen.threads.values_facts import ValuesFacts
from benchlink.store.backups import Backups
from benchlink.workflows.read import read_settled
from tests.faces.screen.screen_bench import FIRST, BenchBoard, FakeEntrance, lw03
from tests.support.bench_records import WADER

TAKEN: Final = datetime(2026, 2, 24, 10, 12, tzinfo=UTC)
TODAY: Final = datetime(2026, 3, 4, 9, 0, tzinfo=UTC)


def row(
    name: str,
    mark: Mark = Mark.DIFFERS,
    use: Use = Use.WRITES,
    owner: Owner | None = Owner.BASELINE,
    *,
    changed: bool = False,
) -> Row:
    return Row(
        name=name, setting=name, mark=mark, use=use, owner=owner, changed=changed
    )


def plain_person() -> PlainPerson:
    return PlainPerson(StringIO(), StringIO(), StringIO())


def lw03_facts() -> ValuesFacts:
    """A board against one setting in each state."""
    bench = FakeEntrance().open(FIRST, plain_person())
    snapshot = read_settled(bench.session, plain_person())
    return ValuesFacts(
        rows=rows_of(snapshot, compare(snapshot, lw03()), lw03()),
        session=bench.session,
        health=bench.session.board.health(),
        compared=True,
        title="LW-03",
        source="lw-03.yaml",
        tail="LW-03",
    )


def keep_copy(
    board: BenchBoard,
    folder: str = "backups",
    *,
    number: str = "",
    taken_at: datetime = TAKEN,
) -> Path:
    """A copy of what a board holds now, in a folder of the bench.

    With `number` it is one of another board.
    """
    bench = FakeEntrance(board).open(FIRST, plain_person())
    identity = bench.session.identity
    backup = Backup(
        taken_at=taken_at,
        tool_version="1",
        identity=replace(identity, number=number or identity.number),
        snapshot=read_settled(bench.session, plain_person()),
        console="wader",
        console_hash=bench.console_hash,
        command="recite",
    )
    return Path(Backups(Path(folder)).keep_backup(backup))


def at(board: BenchBoard, aircraft: Aircraft | None = None) -> AtBoard:
    bench = FakeEntrance(board).open(FIRST, plain_person())
    return AtBoard(bench=bench, person=plain_person(), aircraft=aircraft)


def lw03_aircraft(folder: Path) -> Aircraft:
    return Aircraft(
        tail="LW-03",
        title="third of its kind",
        board=WADER,
        console="wader",
        console_hash="",
        profile=str(folder / "fitted.yaml"),
        folder=str(folder),
    )

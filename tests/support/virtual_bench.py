"""A met virtual board, and intents for it in one line."""

from collections.abc import Mapping
from datetime import UTC, datetime
from decimal import Decimal
from functools import cache

from benchlink.console.description import Description
from benchlink.console.grammar import Grammar
from benchlink.console.schema import describe
from benchlink.core.intent import Fits, Intent, Owner, Waiver, Wanted
from benchlink.errors import Place
from benchlink.store.descriptions import find_console, node_of
from benchlink.store.strict_yaml import load
from benchlink.workflows.backup import Stamp
from benchlink.workflows.session import Session, meet
from mocks.options import Options
from tests.support.virtual_board import VirtualBoard

FEW = Options(settings=60)
FILE = "marsh.yaml"
STAMP = Stamp(
    taken_at=datetime(2025, 3, 1, 10, 20, tzinfo=UTC),
    tool_version="0.1.0",
    console_hash="ab" * 32,
    note="before the hover",
)


@cache
def wader() -> Description:
    _, path, data = find_console("wader")
    return describe(node_of(data, path))


def virtual_board(options: Options = FEW) -> VirtualBoard:
    """A board that was kept once, so that its store can be looked at."""
    board = VirtualBoard(wader(), options)
    board.device.aircraft.keep()
    return board


def meet_wader(board: VirtualBoard) -> Session:
    return meet(board, Grammar(wader()))


def wanting(
    values: Mapping[str, str],
    *,
    tolerances: Mapping[str, str] | None = None,
    waived: Mapping[str, str] | None = None,
    fits: Fits | None = None,
) -> Intent:
    """A baseline that asks for values in our own notation, one a line."""
    near = tolerances or {}
    return Intent(
        title="Marsh baseline",
        source=FILE,
        wanted={
            name: Wanted(
                name=name,
                given=load(text, FILE),
                owner=Owner.BASELINE,
                place=Place(FILE, line),
                tolerance=Decimal(near.get(name, "0")),
            )
            for line, (name, text) in enumerate(values.items(), start=1)
        },
        layer=Owner.BASELINE,
        fits=fits or Fits(),
        waivers={
            name: Waiver(name=name, reason=reason, place=Place(FILE, 99))
            for name, reason in (waived or {}).items()
        },
    )


def words_sent(board: VirtualBoard, *words: str) -> list[str]:
    """The lines written to the board that begin with one of the words."""
    lines = [data.decode().rstrip("\r") for data in board.written]
    return [line for line in lines if line.split(" ")[0] in words]


def live(board: VirtualBoard) -> dict[str, str]:
    """All live values but the clock."""
    values = dict(board.device.aircraft.live)
    del values["board.uptime_s"]
    return values

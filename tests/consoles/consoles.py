"""Every described console, and what the shared tests ask of it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Final

from benchlink.console.description import Description
from benchlink.console.grammar import Grammar
from benchlink.console.schema import describe
from benchlink.store.descriptions import find_console, node_of
from benchlink.units import Baud
from benchlink.workflows.apply import Applied, apply
from benchlink.workflows.planning import prepare
from benchlink.workflows.session import Session, meet
from mocks.options import ConsoleKind, Options
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import STAMP, wanting
from tests.support.virtual_board import VirtualBoard

NOTHING: Final[Mapping[str, str]] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One console in front of a small aircraft."""

    kind: ConsoleKind
    changes: Mapping[str, str]
    """A value of every kind that the console has, in our own notation."""
    refused: tuple[str, str]
    """A name, and a value that the board does not take."""
    clock: str = ""
    """The setting that differs at every look; empty where it lists none."""
    told: Mapping[str, str] = field(default_factory=dict)

    def __str__(self) -> str:
        return self.kind.value

    @property
    def options(self) -> Options:
        """The smallest aircraft."""
        return Options(console=self.kind, settings=60)


TURNSTONE: Final = Case(
    kind=ConsoleKind.TURNSTONE,
    changes={
        "pack capacity": "1800",
        "rail warn": "5.1",
        "steady on": "off",
        "motor left output": "half-range",
        "craft call": '"Lapwing one"',
        "tilt bend": "[-90, -40, 0, 40, 90]",
        "tilt left centre": "1512",
        "p1": "motor-right",
        "p2": "free",
        "p3": "tilt-right",
        "p4": "tilt-left",
    },
    refused=("tilt left centre", "9000"),
    clock="board uptime",
)
DUNLIN: Final = Case(
    kind=ConsoleKind.DUNLIN,
    changes={
        "pack/capacity": "1800",
        "rail/warn": "5.1",
        "level/set": "on",
        "options/steady-on": "off",
        "options/filter-notch-on": "on",
        "filter/notch/centre": "99.0",
        "motor/left/output": "half_range",
        "craft/call": '"Lapwing one"',
        "tilt/bend": "[-90, -40, 0, 40, 90]",
        "tilt/left/centre": "1512",
        "bank 1/steady/roll/gain": "2.5",
        "bank 3/steady/yaw/gain": "0.8",
    },
    refused=("tilt/left/centre", "9000"),
    clock="board/uptime",
    told={"user": "bench", "word": "reed"},
)
KNOT: Final = Case(
    kind=ConsoleKind.KNOT,
    changes={
        "pack capacity": "1800",
        "rail warn": "5.1",
        "level set": "on",
        "motor-L output": "half-range",
        "craft call": '"Lapwing one"',
        "craft tail-number": '"LW-03"',
        "tilt bend": "[-90, -40, 0, 40, 90]",
        "tilt-L mid": "1512",
    },
    refused=("tilt-L mid", "9000"),
    clock="board uptime",
)

SCOTER: Final = Case(
    kind=ConsoleKind.SCOTER,
    changes={
        ":PACK:CAPACITY": "1800",
        ":RAIL:WARN": "5.1",
        ":LEVEL:SET": "on",
        ":FILTER:NOTCH:ON": "on",
        ":FILTER:NOTCH:CENTRE": "99.0",
        ":MOTOR:LEFT:OUTPUT": "HALF_RANGE",
        ":CRAFT:CALL": r'"LW-03; \"grey\", left"',
        ":TILT:BEND": "[-90, -40, 0, 40, 90]",
        ":TILT:LEFT:CENTRE": "1512",
    },
    refused=(":TILT:LEFT:CENTRE", "9000"),
    clock=":BOARD:UPTIME",
)
AVOCET: Final = Case(
    kind=ConsoleKind.AVOCET,
    changes={
        "+PCAP": "1800",
        "+RLW": "5.1",
        "+PKW": "14.4",
        "+LVR": "-1.25",
        "+LVD": "on",
        "+NON": "on",
        "+NCF": "99.0",
        "+MLO": "1",
        "+CCAL": r'"LW-03 \\ \"grey\"; left"',
        "+BEND": "[-90, -40, 0, 40, 90]",
        "+TLC": "1512",
    },
    refused=("+TLC", "9000"),
)
WADER: Final = Case(
    kind=ConsoleKind.WADER,
    changes={
        "pack.capacity_mah": "1800",
        "rail.warn_v": "5.1",
        "level.set": "on",
        "filter.notch.on": "on",
        "filter.notch.centre_hz": "99.0",
        "motor.left.output": "half-range",
        "craft.call": r'"LW-03 \\ \"grey\", left"',
        "tilt.bend_pct": "[-90, -40, 0, 40, 90]",
        "tilt.left.centre_us": "1512",
    },
    refused=("tilt.left.centre_us", "9000"),
    clock="board.uptime_s",
)
CASES: Final = (WADER, TURNSTONE, DUNLIN, KNOT, SCOTER, AVOCET)


@cache
def described(kind: ConsoleKind) -> Description:
    """The description as it is shipped."""
    _, path, data = find_console(kind.value)
    return describe(node_of(data, path))


def board_of(
    case: Case,
    options: Options | None = None,
    *,
    piece_bytes: int = 0,
    found: bytes = b"",
    told: Mapping[str, str] | None = None,
) -> VirtualBoard:
    """A board that was kept once, so that its store can be looked at; or one `found`
    as somebody's typing left it."""
    options = options or case.options
    board = VirtualBoard(
        described(case.kind),
        options,
        speed=Baud(options.baud) if options.baud else None,
        told=case.told if told is None else told,
        piece_bytes=piece_bytes,
        found=found,
    )
    if not found:
        board.device.aircraft.keep()
    return board


def meet_board(case: Case, board: VirtualBoard) -> Session:
    """Say good day to it."""
    return meet(board, Grammar(described(case.kind)))


def carry_out(
    session: Session, values: Mapping[str, str], person: ScriptedPerson | None = None
) -> Applied:
    """Change some values, all the way to the proof."""
    person = person or ScriptedPerson()
    prepared = prepare(session, person, wanting(values))
    return apply(prepared, person, Shelf().shelves, STAMP, agreed=True)


def shown(case: Case, board: VirtualBoard) -> dict[str, str]:
    """The live values by the board's own account, without its clock."""
    return _without(case.clock, board.device.shown())


def kept(case: Case, board: VirtualBoard) -> dict[str, str]:
    """What its store holds, without the clock."""
    return _without(case.clock, board.device.kept_shown())


def _without(clock: str, values: Mapping[str, str]) -> dict[str, str]:
    return {name: raw for name, raw in values.items() if name != clock}

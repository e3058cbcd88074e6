"""What a simulated aircraft is started with."""

import argparse
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING, Final

from .catalogue import FEWEST_SETTINGS, MOST_SETTINGS
from .drives import SIDES, Expiry
from .fault import Fault, FaultError
from .fault_text import read_faults

if TYPE_CHECKING:
    from collections.abc import Sequence


SLOW_BAUD: Final = 1000
"""Ten bits to a character: 100 characters a second."""


class WireKind(Enum):
    """How the console is reached."""

    PTY = "pty"
    TCP = "tcp"


class ConsoleKind(Enum):
    """Which console stands in front of the aircraft."""

    WADER = "wader"
    SCOTER = "scoter"
    AVOCET = "avocet"
    TURNSTONE = "turnstone"
    DUNLIN = "dunlin"
    KNOT = "knot"
    GENERATED = "generated"
    """Made up from the seed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """All choices of one simulated aircraft; the defaults suit most tests."""

    console: ConsoleKind = ConsoleKind.WADER
    wire: WireKind = WireKind.PTY
    settings: int = 612
    """How many settings the board has, 60 to 5000."""
    seed: int = 1
    """Makes the board's number and its sensor calibration."""
    store: Path | None = None
    """File of the kept values; None keeps them in memory."""
    baud: int = 0
    """Bits a second, ten to a byte, both ways; 0 is unpaced."""
    rx_buffer: int = 256
    """Bytes that wait while the board is busy; 0 is no limit."""
    adapter_delay_us: int = 0
    """Longest time the adapter holds bytes on their way to the host."""
    handling_us: int = 100
    """Time the board takes over one command."""
    reenumerate: bool = False
    """A restart takes the port away and brings it back under another name."""
    announce: Path | None = None
    """File that names the port while the process lives."""
    until_eof: bool = False
    """End when standard input closes."""
    about: bool = False
    """Only tell how the made-up console of the seed is."""
    chatter: bool = False
    """The avocet console speaks unasked as well."""
    slow: bool = False
    """The board prints 100 characters a second, however fast the wire is."""
    faults: tuple[Fault, ...] = ()
    """What goes wrong, from power-up."""
    weak_store: bool = False
    """The supply is too low for the store: what is kept is not (knot only)."""
    expiry: Expiry = Expiry.KEPT
    """How the board ends what was ordered of its outputs for a time."""
    tilts_follow: bool = False
    """The tilt arms follow settings, sticks and attitude at rest too."""
    card: bool = False
    """The board has a slot for a memory card, and the settings of it (wader only)."""
    pack_in: bool = False
    """The flight pack is in from the start."""
    left_horn: int = 0
    right_horn: int = 0
    """How many teeth nearer to the nose than on the best tooth each horn sits."""
    swapped_motor: str = ""
    """The side whose motor has two of its three leads exchanged."""

    @property
    def printing_baud(self) -> int:
        """Bits a second from the board; 0 is unpaced."""
        return SLOW_BAUD if self.slow else self.baud


_US_PER_MS: Final = 1000
_IN: Final = "in"
_MOST_TEETH: Final = 12
_HORN_HELP: Final = "nearer to the nose than it should sit"
_FAULTS_HELP: Final = (
    "what goes wrong, such as 'lost byte at=120; late answer rate=0.1 by_ms=800', "
    "or 'drawn seed=7'"
)


def parse_options(arguments: "Sequence[str]") -> Options:
    """Read the command line; on a mistake it prints usage and exits with 2."""
    parser = _parser()
    given = parser.parse_args(arguments, namespace=_Given())
    problem = _problem(given)
    if problem is not None:
        parser.error(problem)
    return Options(
        console=ConsoleKind(given.console),
        wire=WireKind(given.wire),
        settings=given.settings,
        seed=given.seed,
        store=given.store,
        baud=given.baud,
        rx_buffer=given.rx_buffer,
        adapter_delay_us=round(given.adapter_delay_ms * _US_PER_MS),
        handling_us=given.handling_us,
        reenumerate=given.reenumerate,
        announce=given.announce,
        until_eof=given.until_eof,
        about=given.about,
        chatter=given.chatter,
        slow=given.slow,
        weak_store=given.weak_store,
        faults=given.faults,
        expiry=Expiry(given.expiry),
        tilts_follow=given.tilts_follow,
        card=given.card,
        pack_in=given.pack == _IN,
        left_horn=given.left_horn,
        right_horn=given.right_horn,
        swapped_motor=given.swapped_motor,
    )


class _Given(argparse.Namespace):
    console: str
    wire: str
    settings: int
    seed: int
    store: Path | None
    baud: int
    rx_buffer: int
    adapter_delay_ms: float
    handling_us: int
    reenumerate: bool
    announce: Path | None
    until_eof: bool
    about: bool
    chatter: bool
    slow: bool
    weak_store: bool
    faults: tuple[Fault, ...]
    expiry: str
    tilts_follow: bool
    card: bool
    pack: str
    left_horn: int
    right_horn: int
    swapped_motor: str


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="simulated-aircraft",
        description="Serve the console of a simulated tilt-rotor.",
    )
    add = parser.add_argument
    add("--console", choices=[k.value for k in ConsoleKind], default="wader")
    add("--wire", choices=[k.value for k in WireKind], default="pty")
    add("--settings", type=int, default=612, metavar="N", help="60 to 5000")
    add("--seed", type=int, default=1, metavar="N", help="board number, calibration")
    add("--store", type=Path, metavar="FILE", help="kept values (default: in memory)")
    add("--baud", type=int, default=0, metavar="N", help="0 is unpaced")
    add("--rx-buffer", type=int, default=256, metavar="N", help="0 is no limit")
    add("--adapter-delay-ms", type=float, default=0.0, metavar="X")
    add("--handling-us", type=int, default=100, metavar="N", help="time a command")
    add("--reenumerate", action="store_true", help="a restart changes the port")
    add("--announce", type=Path, metavar="FILE", help="file that names the port")
    add("--until-eof", action="store_true", help="end when standard input closes")
    add("--about", action="store_true", help="generated: tell its choices and end")
    add("--chatter", action="store_true", help="avocet: speak unasked as well")
    add("--slow", action="store_true", help="100 characters a second")
    add("--faults", type=_faults, default=(), metavar="TEXT", help=_FAULTS_HELP)
    add("--weak-store", action="store_true", help="the store keeps nothing (knot)")
    add("--expiry", choices=[e.value for e in Expiry], default="kept")
    add("--tilts-follow", action="store_true", help="arms follow at rest too")
    add("--card", action="store_true", help="a slot for a memory card (wader)")
    add("--pack", choices=[_IN, "out"], default="out", help="the flight pack")
    for side in SIDES:
        add(f"--{side}-horn", type=int, default=0, metavar="TEETH", help=_HORN_HELP)
    add("--swapped-motor", choices=SIDES, default="", help="two of its leads swapped")
    return parser


def _faults(text: str) -> tuple[Fault, ...]:
    try:
        return read_faults(text)
    except FaultError as problem:
        raise argparse.ArgumentTypeError(str(problem)) from problem


def _problem(given: _Given) -> str | None:
    if not FEWEST_SETTINGS <= given.settings <= MOST_SETTINGS:
        return f"--settings must be {FEWEST_SETTINGS} to {MOST_SETTINGS}"
    amounts = {
        "--baud": given.baud,
        "--rx-buffer": given.rx_buffer,
        "--adapter-delay-ms": given.adapter_delay_ms,
        "--handling-us": given.handling_us,
    }
    for name, amount in amounts.items():
        # `not >=` also refuses a NaN
        if not amount >= 0:
            return f"{name} must not be below 0"
    for side, teeth in (("left", given.left_horn), ("right", given.right_horn)):
        if abs(teeth) > _MOST_TEETH:
            return f"--{side}-horn must be -{_MOST_TEETH} to {_MOST_TEETH}"
    if given.card and given.console != ConsoleKind.WADER.value:
        return "--card needs --console wader"
    if given.about and given.console != ConsoleKind.GENERATED.value:
        return "--about needs --console generated"
    return None

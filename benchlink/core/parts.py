"""Parts by name, as their makers print them: servos, motors, packs.

Only data: a part never makes anything move, and what is measured always wins over it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, TypeVar

from benchlink.core.document import nearest
from benchlink.core.servo_part import UNKNOWN_SERVO, ServoPart
from benchlink.errors import UsageError

T = TypeVar("T")

SURE_RATE_HZ: Final = 50.0
"""Frames a second that suit nearly every servo; an analogue one burns at many more."""
FULL_CELL_V: Final = 4.20
"""A lithium-polymer cell that is charged; 4.35 where its maker marks it so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ServoMake:
    """A make of servo: what the procedures go by, and what it stands."""

    name: str
    title: str
    part: ServoPart
    most_rate_hz: float = SURE_RATE_HZ
    """Frames a second that its maker allows; fewer are always fine."""
    stall_a: float | None = None
    """What it draws when it is held fast; None where nobody printed it."""
    least_v: float | None = None
    most_v: float | None = None
    """Volts of its rail; None where nobody printed them."""
    source: str = ""
    """The file that says so; empty for the unknown one."""

    @property
    def known(self) -> bool:
        """Whether somebody printed what stands here."""
        return bool(self.source)

    def __str__(self) -> str:
        part = self.part
        return (
            f"{self.title}: {part.shortest_us:.0f} to {part.longest_us:.0f} us around"
            f" {part.neutral_us:.0f}, at most {self.most_rate_hz:g} Hz"
        )


UNKNOWN_MAKE: Final = ServoMake(
    name="unknown", title="an unknown servo", part=UNKNOWN_SERVO
)
"""What is taken where nobody knows the servo, and told so: see `workflows/which_servo`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorPart:
    """A make of motor."""

    name: str
    title: str
    rev_min_per_v: float
    """Speed for each volt, nothing on its shaft."""
    poles: int
    """Magnets, which an ESC counts in pairs."""
    most_a: float
    least_v: float
    most_v: float
    source: str = ""

    def __str__(self) -> str:
        return (
            f"{self.title}: {self.rev_min_per_v:g} rev/min per V, {self.poles} poles,"
            f" {self.least_v:g} to {self.most_v:g} V, at most {self.most_a:g} A"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PackPart:
    """A make of flight pack."""

    name: str
    title: str
    cells: int
    """In series."""
    capacity_mah: float
    most_a: float
    """What it may give for long."""
    full_cell_v: float = FULL_CELL_V
    source: str = ""

    @property
    def full_v(self) -> float:
        """The whole pack, charged and at rest."""
        return self.cells * self.full_cell_v

    def __str__(self) -> str:
        return (
            f"{self.title}: {self.cells} cells, {self.capacity_mah:g} mAh,"
            f" {self.full_v:.1f} V full, at most {self.most_a:g} A"
        )


Part = ServoMake | MotorPart | PackPart


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """All parts that are known, by name."""

    servos: Mapping[str, ServoMake] = field(default_factory=dict)
    motors: Mapping[str, MotorPart] = field(default_factory=dict)
    packs: Mapping[str, PackPart] = field(default_factory=dict)

    def servo(self, name: str) -> ServoMake:
        """The servo of that name; `unknown` is one.

        Raises:
            UsageError: there is none.
        """
        if name == UNKNOWN_MAKE.name:
            return UNKNOWN_MAKE
        return _named("servo", name, self.servos)

    def motor(self, name: str) -> MotorPart:
        """The motor of that name.

        Raises:
            UsageError: there is none.
        """
        return _named("motor", name, self.motors)

    def pack(self, name: str) -> PackPart:
        """The pack of that name.

        Raises:
            UsageError: there is none.
        """
        return _named("pack", name, self.packs)


def _named(kind: str, name: str, known: Mapping[str, T]) -> T:
    found = known.get(name)
    if found is not None:
        return found
    near = nearest(name, known)
    meant = f" Did you mean {near}?" if near else ""
    msg = f"there is no {kind} {name!r} among the parts"
    raise UsageError(
        msg,
        hint=f"Known are {', '.join(known) or 'none'}.{meant} A file in a folder `parts`"
        " adds another.",
    )

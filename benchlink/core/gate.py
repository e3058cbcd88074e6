"""The gate: the one place where anything that moves gets its permit.

A permit is for these bytes, in this epoch, for so long. Every condition stands in one
of the tables below by its name, with the question it asks; a motion passes when none of
them objects. The link looks once more at the bytes and at the permit before they leave.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Final

from benchlink.core.cautions import REAL_STOP, REAL_STOP_OF_ARMS
from benchlink.core.confirmation import PropsOff
from benchlink.core.hazard import Hazard, Hazards, hazard_words
from benchlink.errors import MisuseError, SafetyRefusalError
from benchlink.units import Power, PulseUs, Seconds

CEILING: Final = Power(0.10)
"""Power of a spin check unless somebody raises it."""
CAP: Final = Power(0.20)
"""Power that no spin check goes beyond."""
LONGEST_BURST: Final = Seconds(1.0)
PROOF_POWER: Final = Power(0.06)
"""Power of the run that proves that the board ends it: enough to turn, no more."""
LONGEST_STEP: Final = PulseUs(100.0)
"""How far any nudge may go (guidance)."""
PACK_STEP_VOLTS: Final = 2.0
"""A change of pack voltage that means that somebody connected or swapped it."""
PACK_IN_VOLTS: Final = 4.0
"""Above this a pack is connected: less is what leaks back through the board."""
WHOLE: Final = Seconds(5.0)
"""How old a look at the board may be."""

NO_PULSE: Final = PulseUs(0.0)
NO_POWER: Final = Power(0.0)
NO_TIME: Final = Seconds(0.0)

_SEAL: Final = object()


class Kind(Enum):
    """What a motion is."""

    SERVO = "servo"
    MOTOR = "motor"


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """What somebody wants to move: the bytes, and what they mean."""

    kind: Kind
    thing: str
    """The output or the motor, as the description names it."""
    data: bytes
    """The line with its end, as it will leave."""
    hazards: Hazards
    """What those bytes may do, by the description's own hazards."""
    pulse: PulseUs = NO_PULSE
    power: Power = NO_POWER
    run_for: Seconds = NO_TIME
    proving: bool = False
    """Whether it is ordered to see that the board ends it unasked: no stop follows it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """How far a servo may be moved now; widened only by a deliberate word."""

    least: PulseUs
    most: PulseUs
    last: PulseUs | None = None
    """Where it was put before; None before the first nudge."""


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """What is known of the board and the bench right now."""

    ready: bool
    """Whether the conversation is at the prompt: no boot, login, pager or question."""
    epoch: int
    looked_at: Seconds
    """When the board was asked for what stands here."""
    armed: bool | None
    """Whether its outputs are live; None where nobody knows."""
    aircraft: str
    operator: str
    pack_volts: float | None
    """None where the board does not tell."""
    pack_when_confirmed: float | None = None
    """Pack voltage when props off was confirmed."""
    moved_unasked: bool = False
    """Whether readings since then showed motion that had no permit."""
    hands_clear: bool = False
    """Whether somebody typed that hands are clear since the board started."""
    expiry: Seconds | None = None
    """How soon the board ends a motion by itself, proven in this epoch."""
    expiry_with_pack: bool = False
    """Whether that was seen with the pack in as well."""
    expiry_epoch: int = 0
    spinning: str = ""
    """The motor that runs already."""
    bursts_since_confirmed: int = 0
    ceiling: Power = CEILING
    window: Window | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Permit:
    """These bytes may leave, in this epoch, until then."""

    motion: Motion
    epoch: int
    until: Seconds
    seal: object = field(repr=False, compare=False)

    def __post_init__(self) -> None:
        """Refuse to exist unless the gate made it."""
        if self.seal is not _SEAL:
            msg = "permits are made by the gate alone"
            raise MisuseError(msg)

    def covers(self, data: bytes, epoch: int, now: Seconds) -> bool:
        """Whether these very bytes may leave now."""
        return data == self.motion.data and epoch == self.epoch and now <= self.until


@dataclass(frozen=True, slots=True)
class Case:
    """One request, as the conditions look at it."""

    motion: Motion
    world: World
    props: PropsOff | None
    now: Seconds

    @property
    def needs_props_off(self) -> bool:
        """A motor always; a servo while a pack is in, for a plug may be the wrong one.

        Where the board does not tell, a pack may be in.
        """
        if self.motion.kind is Kind.MOTOR or Hazard.MOTOR in self.motion.hazards:
            return True
        volts = self.world.pack_volts
        return volts is None or volts > PACK_IN_VOLTS


def is_same_pack(now: float | None, then: float | None) -> bool:
    """Whether these volts are those of one pack; None where the board does not tell."""
    if now is None or then is None:
        return now is None and then is None
    return abs(now - then) < PACK_STEP_VOLTS


Condition = Callable[[Case], bool]
"""True where the motion may pass."""


def _props(case: Case, holds: Callable[[PropsOff], bool]) -> bool:
    if not case.needs_props_off:
        return True
    return case.props is not None and holds(case.props)


def _pack_is_as_it_was(case: Case) -> bool:
    if not case.needs_props_off:
        return True
    return is_same_pack(case.world.pack_volts, case.world.pack_when_confirmed)


def _confirmed_for_each_burst(case: Case) -> bool:
    blind = case.motion.kind is Kind.MOTOR and case.world.pack_volts is None
    return not blind or case.world.bursts_since_confirmed == 0


def _expires(case: Case) -> bool:
    """The proof itself is let pass small: with the pack out, or proven with it out."""
    world, motion = case.world, case.motion
    if motion.kind is not Kind.MOTOR:
        return True
    proven = world.expiry is not None and world.expiry <= LONGEST_BURST
    pack_out = world.pack_volts is not None and world.pack_volts <= PACK_IN_VOLTS
    if motion.proving:
        first = pack_out or world.pack_volts is None
        return motion.power <= PROOF_POWER and (proven or first)
    return proven and (pack_out or world.expiry_with_pack)


def _in_window(case: Case) -> bool:
    window, motion = case.world.window, case.motion
    if motion.kind is not Kind.SERVO:
        return True
    return window is not None and window.least <= motion.pulse <= window.most


def _small_step(case: Case) -> bool:
    window, motion = case.world.window, case.motion
    if motion.kind is not Kind.SERVO or window is None:
        return True
    if window.last is None:
        return True
    return abs(motion.pulse - window.last) <= LONGEST_STEP


ABOUT_PROPS: Final[Mapping[str, Condition]] = {
    "nobody confirmed that the props are off": lambda c: _props(c, lambda _: True),
    "props off was confirmed for another aircraft": lambda c: _props(
        c, lambda p: p.asked.aircraft == c.world.aircraft
    ),
    "props off was confirmed by somebody else": lambda c: _props(
        c, lambda p: p.asked.operator == c.world.operator
    ),
    "props off was confirmed before the board restarted or reconnected": lambda c: (
        _props(c, lambda p: p.asked.epoch == c.world.epoch)
    ),
    "the confirmation of props off has expired": lambda c: _props(
        c, lambda p: p.at <= c.now <= p.until
    ),
    "the pack was connected, taken out or swapped since props off was confirmed": (
        _pack_is_as_it_was
    ),
    "something moved without a permit since props off was confirmed": lambda c: (
        not c.needs_props_off or not c.world.moved_unasked
    ),
    "this board tells no pack voltage: each burst is confirmed by itself": (
        _confirmed_for_each_burst
    ),
}
"""What a confirmation of props off has to be, and the condition."""

CONDITIONS: Final[Mapping[str, Condition]] = {
    "the board is not at its prompt": lambda c: c.world.ready,
    "the board was not looked at for too long": lambda c: (
        c.now - c.world.looked_at <= WHOLE
    ),
    "the outputs are live, or nobody knows": lambda c: c.world.armed is False,
    "the line does something else as well, or is not known": lambda c: (
        c.motion.hazards
        <= (
            {Hazard.MOTOR, Hazard.SERVO}
            if c.motion.kind is Kind.MOTOR
            else {Hazard.SERVO}
        )
    ),
    "the line is not the one kind of motion that was asked for": lambda c: (
        bool(c.motion.hazards)
        and (c.motion.kind is Kind.SERVO or Hazard.MOTOR in c.motion.hazards)
    ),
    "nobody confirmed that hands are clear of the tilt arms": lambda c: (
        c.motion.kind is not Kind.SERVO or c.world.hands_clear
    ),
    **ABOUT_PROPS,
    "nothing proves that the board ends a motion by itself within a second": _expires,
    "that proof is from before the board restarted or reconnected": lambda c: (
        c.motion.kind is not Kind.MOTOR
        or (c.motion.proving and c.world.expiry is None)
        or c.world.expiry_epoch == c.world.epoch
    ),
    "another motor is running": lambda c: (
        c.motion.kind is not Kind.MOTOR or c.world.spinning in {"", c.motion.thing}
    ),
    "the power is above the ceiling": lambda c: (
        c.motion.kind is not Kind.MOTOR
        or 0.0 <= c.motion.power <= min(c.world.ceiling, CAP)
    ),
    "the burst is longer than a second": lambda c: (
        c.motion.kind is not Kind.MOTOR or 0.0 < c.motion.run_for <= LONGEST_BURST
    ),
    "the pulse is outside the window that was opened": _in_window,
    "the step is too long": _small_step,
}
"""What is said when a condition does not hold, and the condition."""

HINTS: Final[Mapping[Kind, str]] = {
    Kind.MOTOR: f"Nothing was sent. {REAL_STOP}",
    Kind.SERVO: f"Nothing was sent. {REAL_STOP_OF_ARMS}",
}
"""What ends whatever moves all the same, by what feeds it."""


_ANY_MOTOR: Final = Motion(
    kind=Kind.MOTOR, thing="", data=b"", hazards=frozenset({Hazard.MOTOR})
)


def against_props_off(world: World, props: PropsOff | None, now: Seconds) -> str:
    """Why a confirmation of props off lets no motor pass; empty where it would."""
    case = Case(motion=_ANY_MOTOR, world=world, props=props, now=now)
    return next((why for why, holds in ABOUT_PROPS.items() if not holds(case)), "")


def permit(
    motion: Motion,
    world: World,
    props: PropsOff | None,
    now: Seconds,
    conditions: Mapping[str, Condition] = CONDITIONS,
) -> Permit:
    """Let a motion pass, or say everything that stands against it.

    Raises:
        SafetyRefusalError: with every condition that does not hold.
    """
    case = Case(motion=motion, world=world, props=props, now=now)
    against = tuple(why for why, holds in conditions.items() if not holds(case))
    if against:
        msg = f"{motion.thing} is not moved: {against[0]}"
        details = against[1:]
        extra = motion.hazards - {Hazard.SERVO, Hazard.MOTOR}
        if extra:
            details = (*details, f"the line {hazard_words(extra)}")
        raise SafetyRefusalError(msg, details=details, hint=HINTS[motion.kind])
    lasts = motion.run_for if motion.kind is Kind.MOTOR else LONGEST_BURST
    return Permit(
        motion=motion, epoch=world.epoch, until=Seconds(now + lasts), seal=_SEAL
    )

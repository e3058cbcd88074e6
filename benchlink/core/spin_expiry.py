"""Whether the board ends a motion by itself: seen, or else no motor is run.

A host can die at any time and then sends no stop; an ESC's own cut-out does not help,
for a live board goes on repeating its last pulse. So a small run is ordered for a short
time, nothing at all is said until that time is over, and the board's own readings of
outputs and motor speeds are held against those from before.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from benchlink.core.gate import LONGEST_BURST
from benchlink.core.readings import MEASURES, Quantity
from benchlink.errors import MisuseError, SafetyRefusalError
from benchlink.units import Power, Seconds

WATCHED: Final = frozenset({Quantity.OUTPUT, Quantity.MOTOR_SPEED})
"""What tells that something is driven."""
RUNS: Final = (Seconds(0.5), Seconds(0.8))
"""For how long the run is ordered; the longer one where the readings came too late."""
POWER: Final = Power(0.05)
"""A motor turns, and hardly (guidance); below the gate's limit for a proof."""
GRACE: Final = Seconds(0.1)
"""Silence beyond the ordered time: clocks differ, and the order takes its way."""
LOOKS_FOR: Final = Seconds(6.0)
"""With the pack out: how long a run that goes on is watched for its figure."""

BY_RADIO: Final = "spin by radio: `benchlink spin --by-radio`."
WAY_OUT: Final = (
    "Stop was sent. If this computer died during a burst, nothing would end it. Instead"
    f" {BY_RADIO}"
)
MAKES_IT_POSSIBLE: Final = (
    "A reading of the outputs or of the motor speeds under `readings:` makes it"
    f" possible. Until then {BY_RADIO}"
)

_SEAL: Final = object()


class UnprovenError(SafetyRefusalError):
    """Nothing proves that the board ends a motion by itself: the radio can spin it."""


Told = Mapping[tuple[Quantity, int], float]
"""Outputs in us and motor speeds in rev/min, as the board tells them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Expiry:
    """Seen: the board ended a run by itself while nothing was said to it."""

    motor: str
    """As its side is called."""
    ordered: Seconds
    within: Seconds
    """When it was first seen at rest, counted from the order."""
    epoch: int
    pack_in: bool | None
    """None where the board tells no pack voltage."""
    seal: object = field(repr=False, compare=False)

    def __post_init__(self) -> None:
        """Refuse to exist unless it was seen."""
        if self.seal is not _SEAL:
            msg = "that a board ends a motion by itself is seen, never said"
            raise MisuseError(msg)

    def __str__(self) -> str:
        pack = {True: "pack in", False: "pack out", None: "pack not told"}[self.pack_in]
        return (
            f"{self.motor} motor, told {self.ordered:g} s and left alone: all was at rest when asked"
            f" {self.within:.1f} s after the order ({pack})"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One ordered run, and what the board told before, while and after."""

    motor: str
    """As its side is called."""
    ordered: Seconds
    before: Told
    during: Told
    after: tuple[tuple[Seconds, Told], ...]
    """Looks after the silence, with the time since the order."""
    epoch: int
    pack_in: bool | None

    @property
    def seen(self) -> bool:
        """Whether the readings showed that something was driven at all."""
        return bool(driven(self.before, self.during))

    @property
    def rested_after(self) -> Seconds | None:
        """When nothing was driven any more; None where that was not seen."""
        return next((at for at, told in self.after if at_rest(self.before, told)), None)


def driven(before: Told, now: Told) -> tuple[tuple[Quantity, int], ...]:
    """What is driven now and was not before; some boards tell nothing of what rests."""
    return tuple(
        what
        for what, value in now.items()
        if what[0] in WATCHED and value - before.get(what, 0.0) > MEASURES[what[0]].near
    )


def at_rest(before: Told, now: Told) -> bool:
    """Whether all is as it was; what is not told any more is not known to rest."""
    return not driven(before, now) and before.keys() <= now.keys()


def proven(trial: Trial) -> Expiry:
    """The proof, out of a trial that shows it.

    Raises:
        UnprovenError: it shows nothing, or that the board goes on too long.
    """
    if not trial.seen:
        msg = (
            "the board took the order, and its outputs and motor speeds read as before:"
            " nothing shows whether it ends a motion by itself"
        )
        raise UnprovenError(msg, hint=f"Stop was sent. {MAKES_IT_POSSIBLE}")
    rested = trial.rested_after
    if rested is None or rested > LONGEST_BURST:
        raise UnprovenError(_too_long(trial), hint=WAY_OUT)
    return Expiry(
        motor=trial.motor,
        ordered=trial.ordered,
        within=rested,
        epoch=trial.epoch,
        pack_in=trial.pack_in,
        seal=_SEAL,
    )


def _too_long(trial: Trial) -> str:
    rested = trial.rested_after
    told = f"told to run the {trial.motor} motor for {trial.ordered:g} s and left alone, the board went on"
    if rested is not None:
        return f"{told} for {rested:.1f} s"
    last = trial.after[-1][0] if trial.after else trial.ordered
    return f"{told}: it was still driving after {last:.1f} s"

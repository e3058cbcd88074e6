"""What a wiggle test showed: what is not as the settings say, and how to mend it."""

from collections.abc import Iterator
from dataclasses import dataclass

from benchlink.core.cautions import CUT_THE_POWER
from benchlink.core.jobs import Job
from benchlink.core.outputs import Output
from benchlink.core.restart_leave import RAIL_DEAD_VOLTS
from benchlink.core.roles import OwnSide
from benchlink.core.servo_part import Turns
from benchlink.core.wiggle import SIDES, TILTS, Observed, Seen, turns_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Directions:
    """The settings that turn each tilt servo around."""

    left: str
    right: str
    """Their names."""
    alike: bool
    """Whether both are set the same way."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What is known beside what was seen."""

    rail_volts: float | None = None
    directions: Directions | None = None
    """None where the console does not tell."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WiggleFinding:
    """One thing that is not as declared, and what to do about it, the best first."""

    pads: tuple[str, ...]
    sentence: str
    remedies: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Exchange:
    """Two outputs whose jobs may be exchanged, so that the map tells the truth."""

    one: Output
    other: Output


@dataclass(frozen=True, slots=True, kw_only=True)
class Conclusion:
    """The result of a wiggle test."""

    findings: tuple[WiggleFinding, ...]
    exchange: Exchange | None = None


def conclude(observed: tuple[Observed, ...], bench: Bench) -> Conclusion:
    """What all that was seen means together."""
    exchange = _exchange(observed)
    swapped = {exchange.one.pad, exchange.other.pad} if exchange else set()
    singly = (o for o in observed if o.output.pad not in swapped)
    return Conclusion(
        findings=(
            *(_swapped(exchange) if exchange else ()),
            *(finding for o in singly for finding in _single(o, bench)),
            *_directions(observed, bench.directions),
        ),
        exchange=exchange if exchange and exchange.one.setting else None,
    )


def _exchange(observed: tuple[Observed, ...]) -> Exchange | None:
    """The pair of which each moved what the other should."""
    crossed = {
        o.output.job: o.output
        for o in observed
        if o.seen in TILTS and not o.as_declared
    }
    tilts = [o for o in observed if o.output.is_servo]
    if set(crossed) != set(SIDES) or len(tilts) != len(SIDES):
        return None
    return Exchange(one=crossed[Job.TILT_LEFT], other=crossed[Job.TILT_RIGHT])


def _swapped(exchange: Exchange) -> Iterator[WiggleFinding]:
    left, right = exchange.one.name, exchange.other.name
    yield WiggleFinding(
        pads=(exchange.one.pad, exchange.other.pad),
        sentence=(
            f"{left} and {right} are exchanged: {left} should move the left tilt and"
            f" moves the right one, {right} the other way round."
        ),
        remedies=(
            (
                f"Exchange the two plugs, or the jobs of {left} and {right} in the settings;"
                " not both."
            ),
        ),
    )


def _single(observed: Observed, bench: Bench) -> Iterator[WiggleFinding]:
    if observed.as_declared:
        return
    pad, what = observed.output.name, observed.output.what
    sentence, *remedies = {
        Seen.NOTHING: (
            f"Nothing moved when {pad} ({what}) was wiggled.",
            *_dead(bench.rail_volts),
            f"Is the plug on {pad}, the right way round, pushed home?",
            "Does the servo move on another pad? If not, it or its lead is dead.",
        ),
        Seen.BOTH: (
            f"Both tilts moved when {pad} ({what}) was wiggled.",
            "Each servo needs a pad of its own: look for a Y lead.",
            "Or the two pads are one channel of a timer: move one servo to another.",
        ),
        Seen.MOTOR: (
            f"A MOTOR moved when {pad} was wiggled, which should move {what}.",
            f"Before anything else: {CUT_THE_POWER}",
            f"An ESC is plugged into {pad}: move its plug to the motor's own pad.",
        ),
        Seen.ELSE: (
            f"Something else moved when {pad} ({what}) was wiggled.",
            f"Follow the lead from {pad}; put the plug of {what} there.",
        ),
    }.get(
        observed.seen,
        (
            (
                f"{observed.seen.value.capitalize()} moved when {pad} was wiggled, which"
                f" should move {what}."
            ),
            f"Put the plug of {what} on {pad}, and find the pad of the other one.",
        ),
    )
    yield WiggleFinding(
        pads=(observed.output.pad,), sentence=sentence, remedies=tuple(remedies)
    )


def _dead(rail_volts: float | None) -> tuple[str, ...]:
    if rail_volts is None:
        return ("Is the servo rail fed? USB alone feeds no servo.",)
    if rail_volts < RAIL_DEAD_VOLTS:
        return (
            (
                f"The servo rail has {rail_volts:.1f} V: feed it from a bench supply; USB"
                " alone feeds no servo."
            ),
        )
    return ()


def _directions(
    observed: tuple[Observed, ...], directions: Directions | None
) -> Iterator[WiggleFinding]:
    """Both arms have to go the same way for the same command of the board."""
    turns = turns_of(observed)
    if directions is None or set(turns) != set(OwnSide):
        return
    facing_alike = turns[OwnSide.LEFT] is turns[OwnSide.RIGHT]
    if facing_alike is directions.alike:
        return
    words = {Turns.FORWARD: "forward", Turns.AFT: "aft"}
    left, right = (words[turns[side]] for side in (OwnSide.LEFT, OwnSide.RIGHT))
    set_so = "the same way" if directions.alike else "opposite ways"
    yield WiggleFinding(
        pads=(),
        sentence=(
            f"A longer pulse tilts the left arm {left} and the right arm {right}, but"
            f" {directions.left} and {directions.right} are set {set_so}: one arm will go"
            " against the other, and pitch becomes yaw."
        ),
        remedies=(
            (
                f"Turn {directions.left} or {directions.right} around: the one whose arm goes"
                " against the pitch stick. Nose down by hand, both arms must go aft."
            ),
        ),
    )

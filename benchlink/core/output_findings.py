"""What is wrong with a declared map of outputs, in sentences, each with its remedies.

The order is that of the trade: what shares a pad, a channel, a timer; whether the pulse
fits its frame; what the servo takes; what is missing. A timer has one counter, so all
that hangs on it shares one frame rate.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from itertools import combinations
from typing import Final

from benchlink.core.jobs import Job
from benchlink.core.outputs import JOBS, NAMES, Output, OutputMap
from benchlink.core.servo_part import LONGEST_US
from benchlink.units import PulseUs

GAP_US: Final = 500.0
"""Low time before the next pulse without which a servo may see no edge (guidance)."""
US_PER_S: Final = 1e6
UNKNOWN_HZ: Final = 50.0
"""Suits nearly every servo; what a maker prints is a maximum."""


class Wrong(Enum):
    """What a finding is about."""

    SAME_PAD = "two jobs at one pad"
    JOINED = "two pads that carry the same pulse"
    TIMER = "one timer, different rates"
    FRAME = "a pulse that does not fit its frame"
    LIMIT = "faster than the servo takes"
    TWICE = "one job at two pads"
    NOWHERE = "a job at no pad"


@dataclass(frozen=True, slots=True, kw_only=True)
class ServoLimit:
    """What the servo on a tilt arm takes."""

    name: str = ""
    """Empty where nobody said which servo it is."""
    rate_hz: float = UNKNOWN_HZ
    longest_us: PulseUs = LONGEST_US
    """What is assumed where the board sets no limit of its own."""


UNKNOWN: Final = ServoLimit()


@dataclass(frozen=True, slots=True, kw_only=True)
class OutputFinding:
    """One thing that is wrong, and what to do about it, the best first."""

    about: Wrong
    pads: tuple[str, ...]
    sentence: str
    remedies: tuple[str, ...] = ()


MOVE_SERVO: Final = "Move the servo to a pad on another timer."
NEVER: Final = "Never raise the servo's rate."


def findings(
    declared: OutputMap, servos: Mapping[Job, ServoLimit] | None = None
) -> tuple[OutputFinding, ...]:
    """Everything that is wrong, in the order in which it is mended.

    `servos` tells what is known of the servo of each tilt job.
    """
    known = servos or {}
    busy = [output for output in declared.outputs if not output.free]
    return (
        *_shared(busy),
        *_timers(busy, known),
        *(f for o in busy if o.is_servo for f in _frame(o, _limit(o, known))),
        *(f for o in busy if o.is_servo for f in _limits(o, _limit(o, known))),
        *_places(declared),
    )


def brought_about(
    before: tuple[OutputFinding, ...], after: tuple[OutputFinding, ...]
) -> tuple[tuple[OutputFinding, ...], tuple[OutputFinding, ...]]:
    """What a change brings about, and what was wrong before it already."""
    new = tuple(finding for finding in after if finding not in before)
    return new, tuple(finding for finding in after if finding in before)


def _limit(output: Output, servos: Mapping[Job, ServoLimit]) -> ServoLimit:
    return servos.get(output.job, UNKNOWN) if output.job else UNKNOWN


def _shared(busy: list[Output]) -> Iterator[OutputFinding]:
    for one, other in combinations(busy, 2):
        if one.pad == other.pad:
            yield OutputFinding(
                about=Wrong.SAME_PAD,
                pads=(one.pad,),
                sentence=f"On {one.name} are two: {one.what} and {other.what}.",
                remedies=("Give one of them a pad of its own.",),
            )
        elif one.joined and one.joined == other.joined:
            yield OutputFinding(
                about=Wrong.JOINED,
                pads=(one.pad, other.pad),
                sentence=(
                    f"{one.name} ({one.what}) and {other.name} ({other.what}) are one"
                    " channel: these two always move together."
                ),
                remedies=("Move one of them to a pad of its own.",),
            )


def _timers(
    busy: list[Output], servos: Mapping[Job, ServoLimit]
) -> Iterator[OutputFinding]:
    for one, other in combinations(busy, 2):
        on_one = one.timer and one.timer == other.timer
        if not on_one or one.rate_hz is None or other.rate_hz is None:
            continue
        if one.rate_hz != other.rate_hz:
            slow, fast = sorted((one, other), key=_rate)
            yield _one_timer(slow, fast, servos)


def _one_timer(
    slow: Output, fast: Output, servos: Mapping[Job, ServoLimit]
) -> OutputFinding:
    told = (
        f"{slow.name} ({slow.what}, {_hz(slow)}) and {fast.name} ({fast.what},"
        f" {_hz(fast)}) share timer {slow.timer}: {slow.what} would get {_hz(fast)}"
    )
    if slow.is_servo and _rate(fast) > _limit(slow, servos).rate_hz:
        told = f"{told}, too fast for it"
    elif fast.is_servo and not slow.is_servo:
        told = f"{told}, as the servo asks"
    return OutputFinding(
        about=Wrong.TIMER,
        pads=(slow.pad, fast.pad),
        sentence=f"{told}.",
        remedies=_apart(slow, fast),
    )


def _apart(slow: Output, fast: Output) -> tuple[str, ...]:
    """What to do about two rates on one timer, the best first."""
    lower = f"both to {_hz(slow)}"
    if not (slow.is_servo or fast.is_servo):
        return (f"Set {lower}, or move one of them to a pad on another timer.",)
    taken = ", if the ESC takes it" if fast.is_motor else ""
    return (MOVE_SERVO, f"Or set {lower}{taken}.", NEVER)


def _frame(output: Output, limit: ServoLimit) -> Iterator[OutputFinding]:
    if output.rate_hz is None:
        return
    longest = output.longest_us or limit.longest_us
    if US_PER_S / output.rate_hz - longest >= GAP_US:
        return
    most_hz = US_PER_S / (longest + GAP_US)
    yield OutputFinding(
        about=Wrong.FRAME,
        pads=(output.pad,),
        sentence=(
            f"The longest pulse of {output.name} ({output.what}), {longest:.0f} us, does"
            f" not fit its frame: {_hz(output)} leave {US_PER_S / output.rate_hz:.0f} us,"
            f" and a servo needs {GAP_US:.0f} us between two pulses."
        ),
        remedies=(f"Set its rate to {int(most_hz)} Hz or less.",),
    )


def _limits(output: Output, limit: ServoLimit) -> Iterator[OutputFinding]:
    if output.rate_hz is None or output.rate_hz <= limit.rate_hz:
        return
    if limit.name:
        told = (
            f"{limit.name} on {output.name} ({output.what}) takes {limit.rate_hz:g} Hz"
        )
        told = f"{told} at most, and gets {_hz(output)}: it heats up, and may burn"
        remedies = (f"Set its rate to {limit.rate_hz:g} Hz or less.",)
    else:
        told = f"Nobody said which servo hangs on {output.name} ({output.what}), and it"
        told = f"{told} gets {_hz(output)}: an analogue servo burns above"
        told = f"{told} {UNKNOWN_HZ:g} Hz or so"
        remedies = (
            (
                f"Say which servo it is, or set its rate to {UNKNOWN_HZ:g} Hz, which nearly"
                " every servo takes."
            ),
        )
    yield OutputFinding(
        about=Wrong.LIMIT, pads=(output.pad,), sentence=f"{told}.", remedies=remedies
    )


def _places(declared: OutputMap) -> Iterator[OutputFinding]:
    for job in JOBS:
        names = {o.pad: o.name for o in declared.doing(job)}
        pads = tuple(names)
        if len(pads) > 1:
            yield OutputFinding(
                about=Wrong.TWICE,
                pads=pads,
                sentence=f"{NAMES[job].capitalize()} has {len(pads)} pads:"
                f" {', '.join(names.values())}.",
                remedies=("Free the pad that nothing is plugged into.",),
            )
        elif not pads:
            yield OutputFinding(
                about=Wrong.NOWHERE,
                pads=(),
                sentence=f"No pad drives {NAMES[job]}.",
                remedies=("Give it a pad, the one that its plug is on.",),
            )


def _rate(output: Output) -> float:
    return output.rate_hz or 0.0


def _hz(output: Output) -> str:
    return f"{_rate(output):g} Hz"

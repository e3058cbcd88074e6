"""The wiggle test: one output at a time, and the person says what moved.

Software sees the declared map only. The test is a frozen state with one `action`; the
workflow carries it out and hands what the person said to `advance`. Nothing here moves
anything. A motor that turns ends it at once.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import Enum
from typing import Final

from benchlink.core.angles import Way
from benchlink.core.jobs import Job
from benchlink.core.outputs import Output, OutputMap
from benchlink.core.roles import OwnSide
from benchlink.core.servo_part import Turns
from benchlink.errors import MisuseError


class Seen(Enum):
    """What moved; left and right are the aircraft's own, nose away from you."""

    LEFT = "the left tilt"
    RIGHT = "the right tilt"
    BOTH = "both tilts"
    MOTOR = "a motor"
    NOTHING = "nothing"
    ELSE = "something else"


ANSWERS: Final[Mapping[str, Seen]] = {
    "left": Seen.LEFT,
    "right": Seen.RIGHT,
    "both": Seen.BOTH,
    "motor": Seen.MOTOR,
    "nothing": Seen.NOTHING,
    "else": Seen.ELSE,
}
"""What a person types, and what it means; a beginning of it will do."""

SIDES: Final[Mapping[Job, OwnSide]] = {
    Job.TILT_LEFT: OwnSide.LEFT,
    Job.TILT_RIGHT: OwnSide.RIGHT,
}
TILTS: Final[Mapping[Seen, OwnSide]] = {
    Seen.LEFT: OwnSide.LEFT,
    Seen.RIGHT: OwnSide.RIGHT,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Watch:
    """Move this output a little, the longer pulse first, and ask what moved."""

    output: Output


@dataclass(frozen=True, slots=True, kw_only=True)
class AskWay:
    """Ask which way that arm went first, and which way it stands now."""

    output: Output
    side: OwnSide


@dataclass(frozen=True, slots=True, kw_only=True)
class Over:
    """Nothing more is moved."""


Action = Watch | AskWay | Over


@dataclass(frozen=True, slots=True, kw_only=True)
class Observed:
    """What one output moved."""

    output: Output
    seen: Seen
    way: Way | None = None
    """Which way a longer pulse tilts it; None where that was not told."""

    @property
    def as_declared(self) -> bool:
        """Whether the arm moved that the settings say."""
        return TILTS.get(self.seen) is SIDES.get(self.output.job or Job.BY_SETTING)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wiggle:
    """How far the test has come."""

    to_do: tuple[Output, ...]
    observed: tuple[Observed, ...] = ()
    undecided: Seen | None = None
    """A tilt that moved, and nobody has said which way yet."""

    @property
    def action(self) -> Action:
        """What to do now."""
        if not self.to_do or (self.observed and self.observed[-1].seen is Seen.MOTOR):
            return Over()
        output = self.to_do[0]
        if self.undecided is None:
            return Watch(output=output)
        return AskWay(output=output, side=TILTS[self.undecided])

    @property
    def so_far(self) -> tuple[Observed, ...]:
        """All that was seen, also where nobody has said which way yet."""
        if self.undecided is None:
            return self.observed
        return (*self.observed, Observed(output=self.to_do[0], seen=self.undecided))

    def advance(self, said: Seen | Way | None) -> "Wiggle":
        """The state after an answer: what moved, or which way (None: not told).

        Raises:
            MisuseError: nobody asked for that.
        """
        match self.action, said:
            case Watch(), Seen() if said in TILTS:
                return replace(self, undecided=said)
            case Watch(output=output), Seen():
                return self._noted(Observed(output=output, seen=said))
            case AskWay(output=output), Way() | None:
                seen = self.undecided or Seen.NOTHING
                return self._noted(Observed(output=output, seen=seen, way=said))
            case action, _:
                msg = f"{said} is no answer to {action}"
                raise MisuseError(msg)

    def _noted(self, observed: Observed) -> "Wiggle":
        return Wiggle(to_do=self.to_do[1:], observed=(*self.observed, observed))


def wiggle_of(declared: OutputMap) -> Wiggle:
    """The test of a map: its tilt servos alone, in its order.

    Motors are never given servo pulses: the spin check is for them.
    """
    return Wiggle(to_do=tuple(o for o in declared.outputs if o.is_servo))


def turns_of(observed: tuple[Observed, ...]) -> Mapping[OwnSide, Turns]:
    """Which way a longer pulse tilts each arm, where that was seen."""
    words = {Way.FORWARD: Turns.FORWARD, Way.AFT: Turns.AFT}
    return {TILTS[o.seen]: words[o.way] for o in observed if o.seen in TILTS and o.way}

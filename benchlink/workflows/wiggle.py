"""The wiggle test at the bench: a small move, a question, and what it all means.

Each tilt output alone is put to its centre, then to a slightly longer pulse, and held
there while the person says what moved. Only what two readings of the settings call a
tilt servo is moved.
"""

from dataclasses import dataclass
from typing import Final

from benchlink.console.roles import RoleBook
from benchlink.core.angles import Way
from benchlink.core.jobs import MOTORS
from benchlink.core.outputs import Output, OutputMap
from benchlink.core.reading_words import WAYS
from benchlink.core.readings import Quantity
from benchlink.core.roles import TILT_ROLES, OwnSide
from benchlink.core.servo_part import NEUTRAL_US
from benchlink.core.settings import Snapshot
from benchlink.core.wiggle import (
    ANSWERS,
    SIDES,
    TILTS,
    AskWay,
    Observed,
    Over,
    Seen,
    Watch,
    Wiggle,
    wiggle_of,
)
from benchlink.core.wiggle_findings import (
    DEAD_RAIL_VOLTS,
    Bench,
    Conclusion,
    Directions,
    conclude,
)
from benchlink.errors import DeclinedError, UsageError
from benchlink.units import PulseUs
from benchlink.workflows.mover import Mover
from benchlink.workflows.output_map import jobs_of
from benchlink.workflows.readings import one_look
from benchlink.workflows.tilt_bench import TiltBench

LITTLE_US: Final = 60.0
"""About 6 degrees: enough to be seen, too little to reach a stop from the centre."""
TRIES: Final = 5
"""How often an answer that nobody understands is asked for again."""

CAUTIONS: Final = (
    "Left and right are the aircraft's own, nose away from you.",
    "Stand clear of the discs. The first pulse may make an arm jump to its centre.",
    (
        "An ESC that hangs on the pad of a tilt by mistake would run its motor: safest is"
        " pack out, servo rail from a bench supply. Ctrl-C stops."
    ),
    "Pull the pack, from behind the disc: that is the real stop.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wiggled:
    """What was seen, and what it means."""

    observed: tuple[Observed, ...]
    conclusion: Conclusion


def wiggle(tilts: TiltBench, declared: OutputMap) -> Wiggled:
    """Move each tilt output a little and conclude.

    Raises:
        SafetyRefusalError: something was not confirmed, or the gate says no.
        UsageError: this console cannot drive an output, or the map has no tilt.
        DeclinedError: nobody answers any more.
        LinkError: the board went away.
    """
    mover, person = tilts.mover, tilts.person
    test = _started(tilts, declared)
    for output in declared.outputs:
        if output.job in MOTORS:
            person.tell(
                f"{output.name} drives {output.what}: it gets no servo pulse here. The"
                " spin check is for it."
            )
    for sentence in CAUTIONS:
        person.tell(sentence)
    mover.known(jobs_of(declared))
    mover.require_safe_to_tilt(tuple(f"{o.name}: moves {o.what}" for o in test.to_do))
    rail_volts = one_look(mover.session, Quantity.RAIL_VOLTS)
    if rail_volts is not None and rail_volts < DEAD_RAIL_VOLTS:
        person.tell(f"The servo rail has {rail_volts:.1f} V: no servo will move.")
    directions = _directions(tilts.book, tilts.snapshot)
    bench = Bench(rail_volts=rail_volts, directions=directions)
    try:
        observed = _asked(_Hand(tilts), declared, test)
    finally:
        mover.close()
    return Wiggled(observed=observed, conclusion=conclude(observed, bench))


def _started(tilts: TiltBench, declared: OutputMap) -> Wiggle:
    if not tilts.drives:
        name = tilts.mover.session.grammar.description.name
        msg = f"the console {name!r} has no way to drive an output"
        raise UsageError(
            msg,
            hint="Nothing moved. Move each stick instead and watch what it moves, or"
            " describe it under `live: drive:` if the board can do it.",
        )
    test = wiggle_of(declared)
    if not test.to_do:
        msg = "no output drives a tilt servo, by the board's settings"
        raise UsageError(msg, hint="Nothing moved. `benchlink outputs` shows the map.")
    return test


@dataclass(frozen=True, slots=True)
class _Hand:
    """Moves one output at a time and asks about it."""

    tilts: TiltBench

    @property
    def mover(self) -> Mover:
        """What moves."""
        return self.tilts.mover

    def watch(self, output: Output) -> Seen:
        """Move it, as often as the person wants, until they say what moved."""
        centre = self._centre(output)
        longer = PulseUs(centre + LITTLE_US)
        self.mover.window(centre, longer)
        self.tilts.person.tell(f"{output.name}, which should move {output.what}.")
        self.mover.drive(output.pad, centre)
        if self._motor_turns("It is at its centre now."):
            return Seen.MOTOR
        words = ", ".join(ANSWERS)
        for _ in range(TRIES):
            self.mover.drive(output.pad, longer)
            typed = self._typed(f"What moved? ({words}; `again` to see it again): ")
            seen = _meant(typed)
            if seen is not None:
                return seen
            self.mover.drive(output.pad, centre)
            if self._motor_turns("Back at its centre."):
                return Seen.MOTOR
        raise _unanswered()

    def way(self, side: OwnSide) -> Way | None:
        """Which way it went; None where the person could not tell."""
        for _ in range(TRIES):
            typed = self._typed(
                f"Which way did the {side.value} arm go? (forward is to the nose, aft"
                " to the tail; `not sure`): "
            )
            if typed.startswith("not"):
                return None
            way = WAYS.get(typed)
            if way is not None:
                return way
        raise _unanswered()

    def done_with(self, output: Output) -> None:
        """Back to its centre, and let go of."""
        self.mover.drive(output.pad, self._centre(output))
        self.mover.release(output.pad)

    def _motor_turns(self, where: str) -> bool:
        """Wait until the person watches; a motor that turns needs no second pulse."""
        ask = "Watch both arms, then press Enter (`motor`, if one turns): "
        return bool(self._typed(f"{where} {ask}"))

    def _typed(self, prompt: str) -> str:
        return self.tilts.person.reads(prompt, self.mover.hold).strip().lower()

    def _centre(self, output: Output) -> PulseUs:
        """Where the board's own settings have its middle."""
        side = SIDES[output.job] if output.job else OwnSide.LEFT
        role = TILT_ROLES[side].centre
        if not self.tilts.book.has(role):
            return NEUTRAL_US
        return self.tilts.book.pulse(role, self.tilts.snapshot) or NEUTRAL_US


def _asked(hand: _Hand, declared: OutputMap, test: Wiggle) -> tuple[Observed, ...]:
    """Carry the test out, action by action."""
    while True:
        match test.action:
            case Over():
                return test.observed
            case Watch(output=output):
                declared.require_servo(output.pad)
                seen = hand.watch(output)
                # After a motor nothing more is sent but the stop at the end.
                if seen not in {*TILTS, Seen.MOTOR}:
                    hand.done_with(output)
                test = test.advance(seen)
            case AskWay(output=output, side=side):
                way = hand.way(side)
                hand.done_with(output)
                test = test.advance(way)


def _directions(book: RoleBook, snapshot: Snapshot) -> Directions | None:
    """How the board turns the two tilt servos; None where it does not tell."""
    left, right = (TILT_ROLES[side].direction for side in OwnSide)
    if not book.has(left, right):
        return None
    ways = [book.direction(role, snapshot) for role in (left, right)]
    if None in ways:
        return None
    return Directions(
        left=book.require(left), right=book.require(right), alike=ways[0] is ways[1]
    )


def _meant(typed: str) -> Seen | None:
    """The answer that begins as typed; None where none or several do."""
    meant = [seen for word, seen in ANSWERS.items() if typed and word.startswith(typed)]
    return meant[0] if len(meant) == 1 else None


def _unanswered() -> DeclinedError:
    msg = "nobody said what moved"
    return DeclinedError(msg, hint="Everything was let go of. Run it again.")

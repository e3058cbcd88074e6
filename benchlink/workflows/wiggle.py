"""The wiggle test at the bench: a small move, a question, and what it all means.

Each tilt output alone is put to its centre, then to a slightly longer pulse, each for
half a second and then let go of: nothing is driven while a person looks and types, for
what hangs there may be an ESC, to which a servo's centre is half power. So the pack is
out as well. Only what two readings of the settings call a tilt servo is moved.
"""

from dataclasses import dataclass
from typing import Final

from benchlink.console.roles import RoleBook
from benchlink.core.angles import Way
from benchlink.core.cautions import OWN_SIDES, REAL_STOP_OF_ARMS
from benchlink.core.jobs import MOTORS
from benchlink.core.outputs import Output, OutputMap
from benchlink.core.reading_words import WAYS
from benchlink.core.readings import Quantity
from benchlink.core.restart_leave import RAIL_DEAD_VOLTS
from benchlink.core.roles import TILT_ROLES, OwnSide
from benchlink.core.servo_part import NEUTRAL_US
from benchlink.core.settings import Snapshot
from benchlink.core.wiggle import (
    ANSWERS,
    SIDES,
    AskWay,
    Observed,
    Over,
    Seen,
    Watch,
    Wiggle,
    wiggle_of,
)
from benchlink.core.wiggle_findings import (
    Bench,
    Conclusion,
    Directions,
    conclude,
)
from benchlink.errors import DeclinedError, LinkError, UsageError
from benchlink.units import PulseUs
from benchlink.workflows.mover import Mover
from benchlink.workflows.output_map import jobs_of
from benchlink.workflows.pack_place import OUT, have_the_pack
from benchlink.workflows.readings import one_look
from benchlink.workflows.tilt_bench import TiltBench
from benchlink.workflows.tilts import HOLD_EVERY, DrivenTilt

LITTLE_US: Final = 60.0
"""About 6 degrees: enough to be seen, too little to reach a stop from the centre."""
BEATS: Final = 5
"""How often a pulse is held for a tenth of a second: half a second in all is time for
these few degrees, and for a motor to be heard."""
TRIES: Final = 5
"""How often an answer that nobody understands is asked for again."""
AGAIN: Final = "again"
MOTOR: Final = "motor"
NOT_SURE: Final = "not sure"

CAUTIONS: Final = (
    OWN_SIDES,
    "Stand clear of the discs. The first pulse may make an arm jump to its centre.",
    (
        "An ESC that hangs on the pad of a tilt by mistake would run its motor: so the"
        " pack is out, the servo rail on a bench supply. Ctrl-C stops."
    ),
    REAL_STOP_OF_ARMS,
)
WITH_PACK: Final = (
    "Nothing was moved. The wiggle test is for a pack that is out, the servo rail on a"
    " bench supply; a board that goes dark without its pack is fed by its cable."
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
    mover.known(jobs_of(declared), tilts.epoch)
    have_the_pack(mover, person, OUT, WITH_PACK)
    mover.require_safe_to_tilt(tuple(f"{o.name}: moves {o.what}" for o in test.to_do))
    rail_volts = one_look(mover.session, Quantity.RAIL_VOLTS)
    if rail_volts is not None and rail_volts < RAIL_DEAD_VOLTS:
        person.tell(f"The servo rail has {rail_volts:.1f} V: no servo will move.")
    directions = _directions(tilts.book, tilts.snapshot)
    bench = Bench(rail_volts=rail_volts, directions=directions)
    try:
        observed = _asked(_Hand(tilts), declared, test)
    finally:
        _stop(tilts)
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
        while True:
            self._moves(output, centre)
            if self._motor_turned():
                return Seen.MOTOR
            self._moves(output, longer)
            seen = self._what_moved()
            if seen is not None:
                return seen

    def _moves(self, output: Output, pulse: PulseUs) -> None:
        """Give a pulse for a moment and let go, whatever hangs there."""
        tilt = DrivenTilt(self.mover, output.pad)
        tilt.to(pulse)
        for beat in range(BEATS):
            if beat:
                tilt.hold()
            self.tilts.pause(HOLD_EVERY)
        if "release" in self.mover.session.grammar.description.live.verbs:
            tilt.let_go()
        else:
            self.mover.stop()

    def way(self, side: OwnSide) -> Way | None:
        """Which way it went; None where the person could not tell."""
        for _ in range(TRIES):
            typed = self._typed(
                f"Which way did the {side.value} arm go? (forward is to the nose, aft"
                f" to the tail; `{NOT_SURE}`): "
            )
            if typed.startswith("not"):
                return None
            way = WAYS.get(typed)
            if way is not None:
                return way
            self._not_one_of(*(way.value for way in Way), NOT_SURE)
        raise _unanswered()

    def _motor_turned(self) -> bool:
        """Wait until the person watches; a motor that turned needs no second pulse."""
        for _ in range(TRIES):
            typed = self._typed(
                "It was put to its centre, and let go. Watch both arms, then press Enter"
                " (`motor`, if one turned): "
            )
            if not typed:
                return False
            if MOTOR.startswith(typed):
                return True
            self._not_one_of("Enter", MOTOR)
        raise _unanswered()

    def _what_moved(self) -> Seen | None:
        """The person's word; None where they want to see it again."""
        words = ", ".join(ANSWERS)
        for _ in range(TRIES):
            typed = self._typed(f"What moved? ({words}; `{AGAIN}` to see it again): ")
            if typed and AGAIN.startswith(typed):
                return None
            seen = _meant(typed)
            if seen is not None:
                return seen
            self._not_one_of(*ANSWERS, AGAIN)
        raise _unanswered()

    def _not_one_of(self, *words: str) -> None:
        """Nothing that was understood: said before it is asked again."""
        self.tilts.person.tell(f"Not one of: {', '.join(words)}.")

    def _typed(self, prompt: str) -> str:
        """Nothing is driven meanwhile, so nothing has to be kept alive."""
        return self.tilts.person.types(prompt).strip().lower()

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
                test = test.advance(hand.watch(output))
            case AskWay(side=side):
                test = test.advance(hand.way(side))
        hand.tilts.notes.observed = test.so_far


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


def _stop(tilts: TiltBench) -> None:
    """Also where all was let go of: a word of the board is all that shows so."""
    try:
        tilts.mover.stop()
    except LinkError as exc:
        tilts.person.tell(f"{exc}. {exc.hint}")


def _meant(typed: str) -> Seen | None:
    """The answer that begins as typed; None where none or several do."""
    meant = [seen for word, seen in ANSWERS.items() if typed and word.startswith(typed)]
    return meant[0] if len(meant) == 1 else None


def _unanswered() -> DeclinedError:
    msg = "nobody said what moved"
    return DeclinedError(msg, hint="Everything was let go of. Run it again.")

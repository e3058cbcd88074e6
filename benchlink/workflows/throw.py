"""The ends of the throw on the jig: both ways, both sides, one kept change."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Final

from benchlink.console.roles import RoleBook
from benchlink.core import throw
from benchlink.core.angles import Way, angle_words
from benchlink.core.approach import Window
from benchlink.core.bench_record import SideWork, Taken
from benchlink.core.bench_steps import Look, MoveHorn, Refused
from benchlink.core.broken_off import Earlier
from benchlink.core.doors import Person
from benchlink.core.intent import Intent, Wanted, wanted_value
from benchlink.core.roles import TILT_ROLES, OwnSide
from benchlink.core.servo_part import ServoPart
from benchlink.core.settings import Snapshot
from benchlink.core.throw_ends import Stops, Thrown, ThrowWanted
from benchlink.core.throw_pair import SideThrow, paired
from benchlink.core.tilt_scene import Sought
from benchlink.errors import MisuseError, UsageError
from benchlink.units import PulseUs
from benchlink.workflows.centre import refuse
from benchlink.workflows.jig_talk import JigTalk
from benchlink.workflows.tilt_bench import TiltBench
from benchlink.workflows.tilt_view import TiltView
from benchlink.workflows.tilts import StickTilt, Tilt
from benchlink.workflows.trim import Standing

NO_PART_OF_A_THROW: Final = "looks and horns are no part of a throw"

STICK_DEAD: Final = (
    "If it did not move at all: does this board follow the sticks at rest, is the radio"
    " bound, and is it the right stick?"
)

WINDOW_US: Final = 50.0
"""Each way from the centre, for a start; every further step is asked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ThrownSide:
    """One side with its ends."""

    stands: Standing
    thrown: Thrown
    taken: tuple[Taken, ...]

    @property
    def side(self) -> OwnSide:
        """Which one."""
        return self.stands.side

    @property
    def work(self) -> SideWork:
        """For the record."""
        return SideWork(
            side=self.side,
            centre_us=self.stands.now.centre_us,
            was_centre_us=self.stands.now.centre_us,
            ends=self.thrown.ends,
            taken=self.taken,
            fit=self.thrown.fit,
        )

    @property
    def sentence(self) -> str:
        """What was found, in words."""
        ends = ", ".join(
            f"{angle_words(end.angle.mean_deg)} at {end.pulse_us:.0f} us"
            for end in self.thrown.ends
        )
        return f"{self.side.value}: {ends}"


def wanted_throw(
    book: RoleBook,
    snapshot: Snapshot,
    side: OwnSide,
    asked: Mapping[Way, float],
    stops: Stops,
) -> ThrowWanted:
    """How far each way: as asked, else as the board has it.

    Raises:
        UsageError: nobody has said.
    """
    sizes: dict[Way, float] = {}
    for way in Way:
        role = TILT_ROLES[side].angle(way)
        held = book.number(role, snapshot) if book.has(role) else None
        size = asked.get(way) or held
        if not size:
            msg = f"nobody has said how far the {side.value} arm shall go {way.value}"
            raise UsageError(
                msg,
                hint="Nothing moved. Begin again and say it (on the command line also"
                f" with `--{way.value} DEG`).",
            )
        sizes[way] = size
    return ThrowWanted(
        forward_deg=sizes[Way.FORWARD], aft_deg=sizes[Way.AFT], stops=stops
    )


def throw_side(
    bench: TiltBench,
    stands: Standing,
    wanted: ThrowWanted,
    known: Earlier | None = None,
    *,
    by_stick: bool,
) -> ThrownSide:
    """Find both ends of one arm; it comes back to its centre, nothing is kept yet.

    What was read so far stands in the notes of the bench, however this ends.

    Raises:
        RigError: the mechanics are in the way.
        DeclinedError: the person does not go on.
        SafetyRefusalError: the gate says no.
        LinkError: the board does not answer any more.
    """
    notes = bench.notes.arm(stands.side, known)
    fit, centre = notes.fit or stands.now.fit, stands.now.centre_us
    tilt = _tilt(bench, stands, by_stick=by_stick)
    view = TiltView(
        bench.person,
        stands.side,
        Sought(mark=wanted.mark(throw.WAYS[0]), stops=wanted.stops),
    )
    talk = JigTalk(bench, tilt, notes, view, at_an_end=True)
    window = _window(fit.part, centre)
    if tilt.at is None:
        bench.mover.window(window.low_us, window.high_us)
        tilt.to(centre)
    state = throw.begin(fit, centre, wanted, window=window, at_us=tilt.at)
    while not isinstance(state.action, Thrown | Refused):
        bench.mover.window(state.arm.window.low_us, state.arm.window.high_us)
        view.sought = Sought(mark=state.mark, stops=wanted.stops, ends=state.ends)
        action, event = talk.answer(state.action, state.arm)
        if isinstance(action, Look | MoveHorn):
            raise MisuseError(NO_PART_OF_A_THROW)
        state = throw.advance(replace(state, action=action), event)
        notes.fit = state.arm.fit
    if isinstance(state.action, Refused):
        refuse(_hinted(state.action, by_stick=by_stick), talk, state.arm)
    view.sought = replace(view.sought, ends=state.action.ends)
    talk.come_to_rest(
        state.action.back, state.arm, "Both ends found: back to the centre"
    )
    if by_stick:
        bench.person.tell(tilt.hand_words(centre))
    tilt.let_go()
    view.over()
    done = ThrownSide(stands=stands, thrown=state.action, taken=tuple(notes.taken))
    bench.notes.remarks.append(f"found: {done.sentence}")
    bench.person.tell(done.sentence)
    return done


def _hinted(refused: Refused, *, by_stick: bool) -> Refused:
    """With what else may be wrong where the person's thumb holds the arm."""
    hint = f"{refused.hint} {STICK_DEAD}" if by_stick else refused.hint
    return replace(refused, hint=hint)


def _tilt(bench: TiltBench, stands: Standing, *, by_stick: bool) -> Tilt:
    """How the arm is moved: driven or written, or by the person's thumb."""
    if not by_stick:
        return bench.tilt(stands.side)
    forward = stands.now.fit.us_per_deg > 0
    return StickTilt(
        bench.mover, stands.side, bench.snapshot, longer_is_forward=forward
    )


def _window(part: ServoPart, centre: PulseUs) -> Window:
    """For a start."""
    return Window(
        low_us=PulseUs(max(part.shortest_us, centre - WINDOW_US)),
        high_us=PulseUs(min(part.longest_us, centre + WINDOW_US)),
    )


def ends_intent(bench: TiltBench, sides: Iterable[ThrownSide]) -> Intent:
    """New ends of all sides, as one change."""
    book = bench.book
    wanted: dict[str, Wanted] = {}
    for done in sides:
        for end in done.thrown.ends:
            role = TILT_ROLES[done.side].end(end.way)
            name = book.require(role)
            value = book.end_value(role, end.pulse_us, done.stands.now.centre_us)
            reason = f"{angle_words(end.angle.mean_deg)} at {end.pulse_us:.0f} us"
            wanted[name] = wanted_value(name, value, f"{reason}, on the jig")
    return Intent(title="throw", source="benchlink throw", wanted=wanted)


def compare_sides(sides: Iterable[ThrownSide], person: Person) -> tuple[str, ...]:
    """Left beside right, in sentences; nothing where only one side is there."""
    done = {thrown.side: thrown for thrown in sides}
    if len(done) < len(OwnSide):
        return ()
    left, right = (
        SideThrow(centre_us=d.stands.now.centre_us, thrown=d.thrown)
        for d in (done[OwnSide.LEFT], done[OwnSide.RIGHT])
    )
    pair = paired(left, right)
    sentences = (
        f"The servos are built in so that {pair.facing.value}.",
        *(pair.findings or ("Both sides reach the same angles.",)),
    )
    for sentence in sentences:
        person.tell(sentence)
    return sentences

"""What a procedure asks of the bench, said to a person who stands at a jig.

Every reading is taken as a person writes it, echoed, and asked again only where its way
is in doubt. Before each reading the arm can be nudged by hand. What was read is noted at
once; it counts only where the servo rail has power.
"""

from dataclasses import replace
from typing import Final, final

from benchlink.core.angles import angle_words
from benchlink.core.approach import Hop, Route
from benchlink.core.bench_record import Taken
from benchlink.core.bench_steps import (
    AskAgain,
    Event,
    HornMoved,
    Look,
    Measure,
    MoveHorn,
    Purpose,
    Refused,
    Seen,
    Watched,
    Widen,
    Widened,
)
from benchlink.core.cautions import REAL_STOP_OF_ARMS
from benchlink.core.moving import Arm, reading_of
from benchlink.core.reading_words import (
    Doubtful,
    Heard,
    answered,
    read_words,
    way_words,
)
from benchlink.core.restart_leave import RAIL_DEAD_VOLTS
from benchlink.core.scene import SceneKey
from benchlink.core.seating import HornMove
from benchlink.core.slips import decided, to_the_letter
from benchlink.core.tilt_scene import Moment
from benchlink.errors import DeclinedError, RigError, SafetyRefusalError
from benchlink.units import PulseUs
from benchlink.workflows.notebook import ArmNotes
from benchlink.workflows.nudging import came_from, nudge
from benchlink.workflows.tilt_bench import TiltBench
from benchlink.workflows.tilt_view import FELT, LOOK_KEYS, MOVING, WATCH, TiltView
from benchlink.workflows.tilts import Tilt, rest, travel, window_words

HANDS: Final = f"Hands clear of the arm. {REAL_STOP_OF_ARMS}"
LET_GO: Final = (
    "Nothing of ours drives the servo now, but the board may, and it may jump: keep your"
    " fingers out of the linkage. Enter drives it again: hands clear first."
)
HELD: Final = (
    "The board holds the servo meanwhile, and it may jump: keep your fingers out of the"
    " linkage."
)
DEAD: Final = (
    "The servo rail has no power ({volts:.1f} V by the board's own meter): the arm does not"
    " stand where its pulse says, and what was seen there does not count."
)
POWERED: Final = "Restore its power, hands clear, then Enter (s to stop here): "
MOST_QUESTIONS: Final = 5
"""How often one reading is asked before nobody is thought to be there."""

WIDER: Final = "wider"
"""What is typed to allow a wider window."""
NUDGE_WORDS: Final = frozenset({"n", "nudge"})
UNSEEN: Final = frozenset({"n", "no", "not", "nothing"})
BUZZ_WORDS: Final = ("buzzes", "buzz", "hums", "warm", "hot", "b")

Question = Look | Measure | AskAgain | MoveHorn | Widen
"""Whatever a procedure asks of the bench."""


@final
class JigTalk:
    """Carries out what one procedure asks for one arm."""

    def __init__(
        self,
        bench: TiltBench,
        tilt: Tilt,
        notes: ArmNotes,
        view: TiltView,
        *,
        at_an_end: bool = False,
    ) -> None:
        self._bench: Final = bench
        self._tilt: Final = tilt
        self._notes: Final = notes
        self._person: Final = bench.person
        self._pause: Final = bench.pause
        self.what: Final = f"the {notes.side.value} tilt arm"
        """The arm, in words."""
        self.view: Final = view
        """What is shown of it meanwhile."""
        self._at_an_end: Final = at_an_end
        """Whether an end is looked for, where a servo may push against a stop."""

    def answer(self, action: Question, arm: Arm) -> tuple[Question, Event]:
        """What was asked in the end (a nudge changes where), and what came back.

        Raises:
            DeclinedError: the person does not go on.
            SafetyRefusalError: nobody is there to read, or the gate says no.
        """
        match action:
            case Widen():
                return action, self._widened(action, arm)
            case Look():
                return action, self._watched(action, arm)
            case MoveHorn():
                return action, self._horn_moved(action, arm)
            case Measure():
                self._travel(action.route, arm)
                return self._read(action, arm, self._question(action))
            case AskAgain(doubtful=doubtful, measure=measure):
                question = f"{doubtful.question} "
                asked, seen = self._read(measure, arm, question, doubtful)
                if isinstance(asked, Measure):
                    action = replace(action, measure=asked)
                return action, seen

    def go_back(self, refused: Refused, arm: Arm) -> None:
        """Away from where the arm is held up."""
        self._travel(refused.back, arm, "Back")

    def come_to_rest(self, back: Route, arm: Arm, asks: str) -> None:
        """Where a procedure leaves the arm; `asks` says what came out."""
        self._travel(back, arm, asks)

    def _travel(self, way: Route, arm: Arm, asks: str = MOVING) -> None:
        def sent(pulse: PulseUs) -> None:
            goal = way[-1].pulse_us
            self.view.show(arm, Moment(asks=asks, pulse_us=pulse, goal_us=goal))

        travel(self._tilt, way, self._pause, sent)

    def _asks(self, arm: Arm, asks: str, keys: tuple[SceneKey, ...] = ()) -> None:
        self.view.show(arm, Moment(asks=asks, pulse_us=self._tilt.at, keys=keys))

    def _question(self, measure: Measure) -> str:
        towards = measure.side.moving.opposite.value
        extra = {
            Purpose.PLAY: f" Press it lightly {towards}, or rock it by hand and write the"
            " middle of where it comes to rest.",
            Purpose.SEATED: " The screw is in.",
        }.get(measure.purpose, "")
        self._person.tell(
            f"{self.what} at {measure.pulse_us:.0f} us: {measure.purpose.value}.{extra}"
        )
        hand = self._tilt.hand_words(measure.pulse_us)
        if hand:
            self._person.tell(hand)
        return "The jig shows (7.5 aft; n to nudge; add `buzzes` if it hums): "

    def _read(
        self,
        measure: Measure,
        arm: Arm,
        prompt: str,
        doubtful: Doubtful | None = None,
    ) -> tuple[Measure, Seen]:
        """A reading that counts, and where; `doubtful` is what the prompt asks about."""
        buzzes = False
        for _ in range(MOST_QUESTIONS):
            self.view.asks_for(arm, measure)
            typed = self._person.reads(prompt, self._tilt.hold).strip()
            if typed.casefold() in NUDGE_WORDS:
                measure, doubtful, buzzes = self._nudged(measure, arm), None, False
                prompt = f"At {measure.pulse_us:.0f} us the jig shows: "
                continue
            words, hums = _without_buzz(typed)
            # Said beside a number whose way is asked for, it is not said again.
            buzzes = buzzes or hums
            heard = _heard(words, measure, doubtful)
            if isinstance(heard, Doubtful):
                doubtful, prompt = heard, f"{heard.question} "
                continue
            seen = Seen(angle_deg=heard.angle_deg, buzzes=buzzes)
            if self._counts(measure, seen, arm):
                if not seen.buzzes and self._feels_warm(measure, arm):
                    seen = replace(seen, buzzes=True)
                    self._notes.taken[-1] = replace(self._notes.taken[-1], buzzed=True)
                return measure, seen
            self._travel(measure.route, arm)
            doubtful, buzzes = None, False
            prompt = f"At {measure.pulse_us:.0f} us the jig shows: "
        msg = "nobody reads the jig"
        raise SafetyRefusalError(msg, hint="Nothing was kept. Start again when ready.")

    def _counts(self, measure: Measure, seen: Seen, arm: Arm) -> bool:
        """Whether the rail had power; noted first, for the board may be gone by now."""
        reading = reading_of(measure, seen)
        self._notes.taken.append(
            Taken(
                reading=reading,
                came=measure.side,
                purpose=measure.purpose,
                buzzed=seen.buzzes,
            )
        )
        self._person.tell(
            f"  {angle_words(seen.angle_deg)}{', buzzing' if seen.buzzes else ''}"
        )
        volts = self._dead_rail()
        if volts is not None:
            self._notes.taken.pop()
            self._have_power(volts, arm)
            return False
        self.view.was_read(arm, measure, reading)
        return True

    def _dead_rail(self) -> float | None:
        """Its volts, where it has no power."""
        volts = self._bench.rail_volts()
        return volts if volts is not None and volts < RAIL_DEAD_VOLTS else None

    def _have_power(self, dead: float, arm: Arm) -> None:
        """Let go of the arm until the rail has power again.

        Raises:
            DeclinedError: the person does not go on.
            RigError: it stays dead.
        """
        at, volts = self._tilt.at, dead
        self._tilt.let_go()
        drives = LET_GO if self._tilt.at is None else HELD
        self.view.show(arm, Moment(asks="The servo rail has no power", pulse_us=at))
        for _ in range(MOST_QUESTIONS):
            self._person.tell(DEAD.format(volts=volts))
            self._person.tell(drives)
            if self._person.types(POWERED).strip():
                msg = "the servo rail has no power"
                raise DeclinedError(msg, hint="Nothing was kept.")
            found = self._dead_rail()
            if found is None:
                return
            volts = found
        msg = "the servo rail stays without power"
        raise RigError(msg, hint="Nothing was kept. Look for its plug, and the supply.")

    def _feels_warm(self, measure: Measure, arm: Arm) -> bool:
        """At the end of the travel, once it counts: is the servo pushing?"""
        if not self._at_an_end or measure.purpose is Purpose.PART_WAY:
            return False
        moment = Moment(asks=FELT, pulse_us=measure.pulse_us, came=measure.side)
        self.view.show(arm, moment)
        prompt = "Listen and feel: does the servo buzz or get warm there? [yes/no] "
        for _ in range(MOST_QUESTIONS):
            felt = decided(self._person.reads(prompt, self._tilt.hold))
            if felt is not None:
                return felt
            self._person.tell("Not one of: yes, no.")
        msg = "nobody felt the servo"
        raise SafetyRefusalError(msg, hint="Nothing was kept. Start again when ready.")

    def _nudged(self, measure: Measure, arm: Arm) -> Measure:
        """The same reading at another pulse, where the person has put it."""
        moved = nudge(self._tilt, self._person, self.view, arm, measure.pulse_us)
        if moved is None:
            return measure
        side = came_from(arm.fit, rising=moved.rising)
        rest(self._tilt, moved.rest_s, self._pause)
        return replace(
            measure,
            route=(Hop(pulse_us=moved.pulse_us, rest_s=moved.rest_s),),
            side=side,
            rising=moved.rising,
            expected=arm.fit.reading_at(moved.pulse_us, side),
        )

    def _widened(self, widen: Widen, arm: Arm) -> Widened:
        words = window_words(widen.window)
        self._asks(arm, f"Allow {words}?")
        prompt = (
            f"{self.what} needs pulses of {words} from now on. Is the arm free that"
            f" far? Type `{WIDER}` to allow them: "
        )
        typed = to_the_letter(
            lambda asked: self._person.reads(asked, self._tilt.hold).strip(),
            prompt,
            WIDER,
        )
        if typed != WIDER:
            msg = f"pulses of {words} were not allowed"
            raise DeclinedError(msg, hint="Nothing was kept.")
        return Widened()

    def _watched(self, look: Look, arm: Arm) -> Watched:
        self._moves(look, arm)
        prompt = "Which way did it go: forward (f), aft (a), or not to be seen (n)? "
        for _ in range(MOST_QUESTIONS):
            typed = self._person.reads(prompt, self._tilt.hold).strip()
            way = way_words(typed)
            if way is None and typed.casefold() not in UNSEEN:
                self._person.tell("Not one of: forward (f), aft (a), n.")
                continue
            volts = self._dead_rail()
            if volts is None:
                return Watched(way=way)
            self._have_power(volts, arm)
            self._moves(look, arm)
        msg = "nobody watched the arm"
        raise SafetyRefusalError(msg, hint="Nothing was kept. Start again when ready.")

    def _moves(self, look: Look, arm: Arm) -> None:
        self._travel(look.ready, arm, WATCH)
        self._person.tell(f"Watch the top of the arm: {self.what} moves now. {HANDS}")
        self._travel(look.route, arm, WATCH)
        self._asks(arm, "Which way did it go?", LOOK_KEYS)

    def _horn_moved(self, asked: MoveHorn, arm: Arm) -> HornMoved:
        self._travel(asked.route, arm)
        self._notes.horn_is_off(arm.fit, asked.move)
        asks, at = f"Horn: {horn_step(asked.move)}", self._tilt.at
        self._tilt.let_go()
        let_go = self._tilt.at is None
        self.view.show(arm, Moment(asks=asks, pulse_us=at, horn_off=True))
        for sentence in (*horn_words(asked.move), LET_GO if let_go else HELD):
            self._person.tell(sentence)
        prompt = "Enter when it sits there, screw in, no wobble (s to stop here): "
        # Minutes may go by here, and nothing of ours is held that needs looking after.
        if self._person.types(prompt).strip():
            msg = "the horn was not moved"
            raise DeclinedError(msg, hint="Nothing was kept.")
        self.view.horn_moved()
        if let_go:
            self._travel(asked.route[-1:], arm)
        return HornMoved()


def horn_step(move: HornMove) -> str:
    """Where the horn goes: `move it one tooth aft`."""
    steps = []
    if move.arms_on:
        steps.append(f"use the arm {move.arms_on} further on, towards {move.way.value}")
    if move.teeth:
        teeth = "one tooth" if abs(move.teeth) == 1 else f"{abs(move.teeth)} teeth"
        way = move.way if move.teeth > 0 else move.way.opposite
        steps.append(f"move it {teeth} {way.value}")
    return " and ".join(steps)


def horn_words(move: HornMove) -> tuple[str, ...]:
    """How to move the horn, in the words of the bench."""
    return (
        "Mechanics first, trim last: the horn sits wrong on its spline.",
        (
            f"Screw out, horn off; {horn_step(move)}; screw in with thread-lock."
            f" About {angle_words(move.remaining_deg)} will be left to trim."
        ),
    )


def _heard(typed: str, measure: Measure, doubtful: Doubtful | None) -> Heard | Doubtful:
    """What was typed, whole or as the answer to what was asked about it."""
    if doubtful is not None:
        return answered(doubtful, typed, measure.expected)
    return read_words(typed, measure.expected)


def _without_buzz(typed: str) -> tuple[str, bool]:
    words = typed.split()
    kept = [word for word in words if word.casefold().strip(",") not in BUZZ_WORDS]
    return " ".join(kept), len(kept) != len(words)

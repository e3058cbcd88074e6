"""Somebody at the jig who does what the procedures ask, and what came of it."""

from dataclasses import dataclass, field
from random import Random

from benchlink.core import centring, throw
from benchlink.core.angles import Degrees, Side, Way
from benchlink.core.approach import Route, Window
from benchlink.core.bench_steps import (
    AskAgain,
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
from benchlink.core.centring_state import Action, Centred, Wanted
from benchlink.core.servo_fit import ServoFit
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.core.throw_ends import Stops, Thrown, ThrowWanted
from benchlink.units import PulseUs
from tests.bench.jig_servos import READER_SD, UNSEEN_BELOW, JigServo

THROW_DEG = 36.0
MOVED_WRONG = 0.03
"""Share of horn moves that go the other way."""
WANTED_DEG = {"centre": 0.0, "forward": THROW_DEG, "aft": -THROW_DEG}
FORETOLD = {Purpose.AIM, Purpose.CHECK, Purpose.PART_WAY}


@dataclass(kw_only=True)
class Angle:
    """One angle that was brought about, against the truth."""

    name: str
    readings: int
    error_deg: float
    covered: bool
    """The truth lies in the 95 % interval that was stated."""


@dataclass(kw_only=True)
class Outcome:
    """What became of one servo."""

    solvable: bool
    angles: list[Angle] = field(default_factory=list)
    refused: str = ""
    play_covered: bool | None = None
    foretold: list[bool] = field(default_factory=list)
    """For every pulse that was sent to be read: the truth lay where it was foretold."""
    looks: int = 0
    asked_again: int = 0
    horn_moves: int = 0
    push_deg: float = 0.0
    """Furthest into a stop that had been measured and told, or into another."""
    stops_told: bool = False
    read_while_moving: int = 0


def part_of(servo: JigServo) -> ServoPart:
    """The part sheet, as the product wants it; a slope nobody printed is left open."""
    sheet = servo.sheet
    told = sheet.longer_is_forward
    turns = Turns.NOT_KNOWN if told is None else Turns.FORWARD if told else Turns.AFT
    open_part = ServoPart()
    printed = sheet.us_per_deg
    return ServoPart(
        shortest_us=PulseUs(float(sheet.shortest)),
        longest_us=PulseUs(float(sheet.longest)),
        us_per_deg=printed or open_part.us_per_deg,
        slope_share=0.08 if printed else open_part.slope_share,
        dead_band_us=sheet.dead_band,
        teeth=sheet.teeth,
        arms=sheet.arms,
        s_per_60_deg=sheet.seconds_per_60,
        turns=turns,
    )


class Person:
    """Carries out what is asked on one servo; slips of the pen only where wanted."""

    def __init__(self, servo: JigServo, rng: Random, *, slips: float = 0.0) -> None:
        self._servo, self._rng, self._slips = servo, rng, slips
        self._outcome = Outcome(
            solvable=servo.can_be_thrown(THROW_DEG),
            stops_told=servo.sheet.forward_stop is not None,
        )

    def work(self) -> Outcome:
        """Centre, then throw."""
        centred = self._centred()
        if centred is not None:
            self._throw(*centred)
        self._outcome.push_deg = self._servo.worst_push
        self._outcome.read_while_moving = self._servo.read_while_moving
        return self._outcome

    def _send(self, way: Route) -> None:
        for hop in way:
            self._servo.send(hop.pulse_us, hop.rest_s)

    def _centred(self) -> tuple[Centred, Window] | None:
        wanted = Wanted(throw_deg=THROW_DEG)
        state = centring.begin(part_of(self._servo), wanted)
        while not isinstance(state.action, Centred | Refused):
            state = centring.advance(state, self._centring_answer(state.action))
        done = state.action
        if isinstance(done, Refused):
            self._refused("centring", done)
            return None
        self._send(done.back)
        self._score("centre", done.readings, done.fit, done.pulse_us, Side.FROM_AFT)
        if done.play is not None:
            size, truth = done.play.size, self._servo.lost_motion()
            self._outcome.play_covered = size.low_deg <= truth <= size.high_deg
        return done, state.arm.window

    def _throw(self, done: Centred, window: Window) -> None:
        sheet = self._servo.sheet
        stops = Stops(forward_deg=sheet.forward_stop, aft_deg=sheet.aft_stop)
        wanted = ThrowWanted(forward_deg=THROW_DEG, aft_deg=THROW_DEG, stops=stops)
        centre = done.pulse_us
        state = throw.begin(done.fit, centre, wanted, window=window, at_us=centre)
        while not isinstance(state.action, Thrown | Refused):
            state = throw.advance(state, self._answer(state.action))
        if isinstance(state.action, Refused):
            self._refused("throw", state.action)
            return
        self._send(state.action.back)
        for end in state.action.ends:
            self._servo.send(centre, 9)
            self._servo.send(end.pulse_us, 9)
            side = next(s for s in Side if s.moving is end.way)
            fit = state.action.fit
            self._score(end.way.value, end.readings, fit, end.pulse_us, side)

    def _refused(self, what: str, refused: Refused) -> None:
        self._send(refused.back)
        self._outcome.refused = f"{what}: {refused.reason}"

    def _score(
        self, name: str, readings: int, fit: ServoFit, pulse: PulseUs, side: Side
    ) -> None:
        truth, told = self._servo.angle, fit.at(pulse, side)
        self._outcome.angles.append(
            Angle(
                name=name,
                readings=readings,
                error_deg=truth - WANTED_DEG[name],
                covered=told.low_deg <= truth <= told.high_deg,
            )
        )

    def _centring_answer(self, action: Action) -> Seen | Widened | Watched | HornMoved:
        match action:
            case Look(ready=ready, route=route):
                self._send(ready)
                before = self._servo.angle
                self._send(route)
                return self._watched(self._servo.angle - before)
            case MoveHorn(route=route, move=move):
                self._send(route)
                wrong = self._rng.random() < MOVED_WRONG
                self._servo.move_horn(-move.by_deg if wrong else move.by_deg)
                self._outcome.horn_moves += 1
                return HornMoved()
            case Measure() | AskAgain() | Widen():
                return self._answer(action)
            case Centred() | Refused():
                msg = "nothing is asked any more"
                raise AssertionError(msg)

    def _watched(self, moved: float) -> Watched:
        self._outcome.looks += 1
        if abs(moved) < UNSEEN_BELOW:
            return Watched(way=None)
        return Watched(way=Way.FORWARD if moved > 0 else Way.AFT)

    def _answer(self, action: Measure | AskAgain | Widen) -> Seen | Widened:
        if isinstance(action, Widen):
            return Widened()
        wrong = False
        if isinstance(action, Measure):
            self._send(action.route)
            self._compare(action)
            wrong = self._rng.random() < self._slips
        else:
            self._outcome.asked_again += 1
        shown = self._servo.read()
        return Seen(
            angle_deg=Degrees(-shown if wrong else shown), buzzes=self._servo.hums
        )

    def _compare(self, asked: Measure) -> None:
        """The interval is for a reading; the truth needs the reader's part taken out."""
        if asked.purpose in FORETOLD:
            own_sd = max(0.0, asked.expected.sd_deg**2 - READER_SD**2) ** 0.5
            off = abs(self._servo.angle - asked.expected.mean_deg)
            self._outcome.foretold.append(off <= 1.96 * own_sd)


def one_servo(seed: int, *, slips: float = 0.0) -> Outcome:
    """One servo from its seed; the same seed gives the same servo and person."""
    rng = Random(seed)  # noqa: S311 - a seeded generator is the point
    return Person(JigServo(rng), rng, slips=slips).work()

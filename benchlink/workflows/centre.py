"""Centring tilt servos on the jig: both sides, one kept change, one proof after it."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final, NoReturn

from benchlink.core import centring
from benchlink.core.angles import Degrees, angle_words
from benchlink.core.bench_record import SideWork, Taken
from benchlink.core.bench_steps import Refused
from benchlink.core.broken_off import Earlier
from benchlink.core.centring_state import Centred, Wanted
from benchlink.core.intent import Intent, wanted_value
from benchlink.core.moving import Arm
from benchlink.core.reading_words import Doubtful, asked_back, read_words
from benchlink.core.roles import TILT_ROLES, OwnSide
from benchlink.core.servo_part import ServoPart
from benchlink.core.tilt_scene import Sought
from benchlink.errors import RigError
from benchlink.units import PulseUs
from benchlink.workflows.jig_talk import JigTalk
from benchlink.workflows.tilt_bench import TiltBench
from benchlink.workflows.tilt_view import TiltView

PROOF_SDS: Final = 2.0
"""A proof reading may be off by the tolerance and this many deviations of the reader."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CentredSide:
    """One side on the jig."""

    side: OwnSide
    centred: Centred
    taken: tuple[Taken, ...]
    was_us: PulseUs | None
    """What the board holds as its centre."""
    set_us: PulseUs
    """What it will hold: the nearest step that it takes."""

    @property
    def work(self) -> SideWork:
        """For the record."""
        return SideWork(
            side=self.side,
            centre_us=self.set_us,
            was_centre_us=self.was_us,
            angle=self.centred.angle,
            play=self.centred.play,
            taken=self.taken,
            fit=self.centred.fit,
        )

    @property
    def sentence(self) -> str:
        """What was found, in words."""
        found = self.centred
        before = sum(taken.earlier for taken in self.taken)
        beside = f", beside {before} earlier" if before else ""
        return (
            f"{self.side.value}: centre {self.set_us:g} us, where the arm stands"
            f" {found.angle} ({found.readings} readings{beside})"
        )


def centre_side(
    bench: TiltBench,
    side: OwnSide,
    part: ServoPart,
    wanted: Wanted,
    known: Earlier | None = None,
) -> CentredSide:
    """Centre one arm; it comes to rest at its centre, and nothing is kept yet.

    What was read so far stands in the notes of the bench, however this ends.

    Raises:
        RigError: the mechanics are in the way; what to do about them is said.
        DeclinedError: the person does not go on.
        SafetyRefusalError: the gate says no.
        LinkError: the board does not answer any more.
    """
    tilt, person, mover = bench.tilt(side), bench.person, bench.mover
    view = TiltView(person, side, Sought(mark=wanted.mark))
    notes = bench.notes.arm(side, known)
    talk = JigTalk(bench, tilt, notes, view)
    role = TILT_ROLES[side].centre
    now = bench.book.pulse(role, bench.snapshot)
    state = centring.begin(part, wanted, at_us=tilt.at, fit=notes.fit)
    while not isinstance(state.action, Centred | Refused):
        mover.window(state.arm.window.low_us, state.arm.window.high_us)
        action, event = talk.answer(state.action, state.arm)
        state = centring.advance(replace(state, action=action), event)
        notes.fit = state.arm.fit
    if isinstance(state.action, Refused):
        refuse(state.action, talk, state.arm)
    found = state.action
    talk.come_to_rest(found.back, state.arm, "Centred")
    set_us = bench.book.pulse_of(role, bench.book.value_for(role, found.pulse_us))
    # The other side has a window of its own; and nothing of ours may be left standing.
    tilt.let_go()
    view.over()
    done = CentredSide(
        side=side,
        centred=found,
        taken=tuple(notes.taken),
        was_us=now,
        set_us=set_us,
    )
    bench.notes.remarks.append(f"found: {done.sentence}")
    person.tell(done.sentence)
    for remark in (*filter(None, (found.play,)), *found.remarks):
        person.tell(f"  {remark}")
    return done


def refuse(refused: Refused, talk: JigTalk, arm: Arm) -> NoReturn:
    """End a procedure that cannot reach what is wanted, the arm out of harm's way.

    Raises:
        RigError: always.
    """
    talk.go_back(refused, arm)
    msg = f"{talk.what}: {refused.reason}"
    raise RigError(msg, hint=f"{refused.hint} Nothing was kept.".strip())


def centres_intent(bench: TiltBench, sides: Iterable[CentredSide]) -> Intent:
    """New centres of all sides, as one change."""
    book, wanted = bench.book, {}
    for done in sides:
        role = TILT_ROLES[done.side].centre
        name = book.require(role)
        reason = f"{done.sentence}, on the jig"
        wanted[name] = wanted_value(name, book.value_for(role, done.set_us), reason)
    return Intent(title="centres", source="benchlink centre", wanted=wanted)


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What one more reading said, with the board alone holding the arm."""

    side: OwnSide
    angle_deg: Degrees | None
    """None where the board does not hold the arm at rest."""
    right: bool


def prove_side(bench: TiltBench, done: CentredSide, tolerance_deg: float) -> Proof:
    """Read the jig once more: no override, sticks centred, the board's own command.

    Raises:
        DeclinedError: nobody read it.
    """
    person, side = bench.person, done.side
    person.tell(
        f"Proof, {side.value}: nothing of ours drives the arm now. Transmitter on, sticks"
        " and trims centred, aircraft level."
    )
    typed = person.types(
        "The jig shows (7.5 aft), or `limp` where the board does not hold the arm: "
    ).strip()
    if typed.casefold() == "limp":
        person.tell(
            "This board gives the arm no pulse at rest, so its own command was not seen:"
            " look once more when it is first armed, props off."
        )
        return Proof(side=side, angle_deg=None, right=False)
    heard = read_words(typed, done.centred.angle)
    if isinstance(heard, Doubtful):
        heard = asked_back(heard, person.types)
    if isinstance(heard, Doubtful):
        person.tell("No reading was understood: not proven.")
        return Proof(side=side, angle_deg=None, right=False)
    fit = done.centred.fit
    allowed = tolerance_deg + PROOF_SDS * fit.noise_deg
    # The arm may have come from either side: its play is no mistake.
    allowed += max(0.0, fit.play.mean_deg)
    off = heard.angle_deg - done.centred.angle.mean_deg
    right = abs(off) <= allowed
    person.tell(
        f"  {angle_words(heard.angle_deg)}: "
        + ("as it was measured." if right else f"off by {abs(off):.1f} deg.")
    )
    return Proof(side=side, angle_deg=heard.angle_deg, right=right)


def unproven(proofs: Iterable[Proof]) -> tuple[Proof, ...]:
    """Sides that were seen to stand elsewhere than where they were centred."""
    return tuple(p for p in proofs if not p.right and p.angle_deg is not None)


def require_proven(proofs: Iterable[Proof]) -> None:
    """Nothing more to do, or what stands against it.

    Raises:
        RigError: a side stands elsewhere than where it was centred.
    """
    wrong = unproven(proofs)
    if wrong:
        sides = " and ".join(p.side.value for p in wrong)
        msg = f"under the board's own command the {sides} arm does not stand at centre"
        raise RigError(
            msg,
            hint="The centre is kept. Self-levelling or stabilisation on a tilted"
            " aircraft, a transmitter trim, or the wrong output: look at those first.",
        )

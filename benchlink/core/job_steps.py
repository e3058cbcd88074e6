"""The steps from the soldering iron to the first hover, in the order of the trade.

What each needs first, who does it, what is kept of it, and what on the aircraft has to
change for it to be done again. The order follows from what each step rests on: nothing
moves before the map of the outputs is right, no rotor turns before the transmitter is
known to stop it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Final

from benchlink.core.bench_record import Work


class Step(Enum):
    """The steps; the word is the one that is typed."""

    PAPERS = "papers"
    METER = "meter"
    COPY = "copy"
    BASELINE = "baseline"
    OUTPUTS = "outputs"
    MOUNTING = "mounting"
    POWER = "power"
    WIGGLE = "wiggle"
    CENTRE = "centre"
    THROW = "throw"
    LEVEL = "level"
    RADIO = "radio"
    FAILSAFE = "failsafe"
    SPIN = "spin"
    SHAKE = "shake"
    CORRECTIONS = "corrections"
    BALANCE = "balance"
    SIGN = "sign"
    OUTDOORS = "outdoors"

    @property
    def duty(self) -> "Duty":
        """All that there is to know of it."""
        return DUTIES[self]


class Happening(Enum):
    """What may happen to an aircraft so that steps count no more; the word is typed."""

    BOARD = "board"
    SERVO = "servo"
    MOTOR = "motor"
    RADIO = "radio"
    BATTERY = "battery"
    WARMTH = "warmth"

    @property
    def happened(self) -> str:
        """What happened to it, in words."""
        return HAPPENED[self]


HAPPENED: Final[Mapping[Happening, str]] = {
    Happening.BOARD: "the board was moved",
    Happening.SERVO: "a servo or horn is new",
    Happening.MOTOR: "an ESC or a motor lead is new",
    Happening.RADIO: "the radio or its receiver is new",
    Happening.BATTERY: "the battery sits elsewhere",
    Happening.WARMTH: "it is more than 20 K warmer or colder",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """One step as it stands on the job sheet."""

    title: str
    what: str
    """What is done, and what is written down of it."""
    needs: tuple[Step, ...] = ()
    """What has to be done before."""
    words: tuple[str, ...] = ()
    """The verb that does it, and its arguments; empty where hands and eyes do it."""
    work: Work = Work.STEP
    """The kind of record that proves it; `STEP` is a person's word."""
    undone_by: tuple[Happening, ...] = ()
    """What may happen to the aircraft so that it has to be done again."""
    of_board: bool = False
    """Whether it has to be done again with another board."""

    @property
    def by_hand(self) -> bool:
        """Whether the tool only asks, and writes down what it is told."""
        return not self.words


_BEFORE_SIGNING: Final = tuple(
    step for step in Step if step not in {Step.SIGN, Step.OUTDOORS}
)

DUTIES: Final[Mapping[Step, Duty]] = {
    Step.PAPERS: Duty(
        title="papers, masses and parts",
        what="Local code and club rules, the build sheet, masses; which servos, ESCs,"
        " pack and receiver. Note what is not known yet.",
    ),
    Step.METER: Duty(
        title="eyes and meter, battery off",
        what="Polarity, stray strands, motor screws short of the windings. No beep from +"
        " to -, nor from pad + to 5 V, 5 V to ground, servo + to ground. Note the ohms.",
        needs=(Step.PAPERS,),
        undone_by=(Happening.MOTOR,),
        of_board=True,
    ),
    Step.COPY: Duty(
        title="first copy of the board",
        what="On USB alone: who the board is, and a copy of everything on it.",
        needs=(Step.METER,),
        words=("backup",),
        of_board=True,
    ),
    Step.BASELINE: Duty(
        title="baseline, proven by a restart",
        what="What this aircraft should hold: written, kept, restarted, read again, no"
        " difference left.",
        needs=(Step.COPY,),
        words=("apply",),
    ),
    Step.OUTPUTS: Duty(
        title="map of the outputs",
        what="What the settings say each output drives, and what is wrong with that:"
        " shared pads, timers and rates.",
        needs=(Step.BASELINE,),
        words=("outputs",),
    ),
    Step.MOUNTING: Duty(
        title="how the board sits",
        what="Level, nose down, right side down: what the board tells must agree each"
        " time, and its rates as well. Note the poses and what it told.",
        needs=(Step.BASELINE,),
        undone_by=(Happening.BOARD,),
        of_board=True,
    ),
    Step.POWER: Duty(
        title="first power, limited",
        what="Through a current limiter, servos unplugged: nothing warm. Meter the 5 V"
        " and the servo rail before a servo is plugged in; the pack within 2 % of what"
        " the board tells. Note volts and amperes.",
        needs=(Step.METER,),
        undone_by=(Happening.MOTOR,),
        of_board=True,
    ),
    Step.WIGGLE: Duty(
        title="wiggle: what hangs where",
        what="Each tilt output moves a little, and you say what moved.",
        needs=(Step.OUTPUTS, Step.POWER),
        words=("outputs", "--wiggle"),
        work=Work.OUTPUTS,
        undone_by=(Happening.SERVO,),
        of_board=True,
    ),
    Step.CENTRE: Duty(
        title="centre of both tilts",
        what="On the jig: teeth first, then the pulse at which each arm stands upright,"
        " its free play, and the proof.",
        needs=(Step.WIGGLE,),
        words=("centre", "both"),
        work=Work.CENTRE,
        undone_by=(Happening.SERVO,),
    ),
    Step.THROW: Duty(
        title="throw of both tilts",
        what="On the jig: the ends for the wanted angle each way, left beside right.",
        needs=(Step.CENTRE,),
        words=("throw", "both"),
        work=Work.THROW,
        undone_by=(Happening.SERVO,),
    ),
    Step.LEVEL: Duty(
        title="what level is",
        what="Warm, final feet on, read twice with the aircraft turned round between."
        " Note both readings and what was set.",
        needs=(Step.MOUNTING,),
        undone_by=(Happening.BOARD, Happening.WARMTH),
        of_board=True,
    ),
    Step.RADIO: Duty(
        title="sticks and switches",
        what="Each stick alone moves the one channel that it should, the right way,"
        " centre and ends true; no switch position arms. Note the table.",
        needs=(Step.POWER,),
        undone_by=(Happening.RADIO,),
        of_board=True,
    ),
    Step.FAILSAFE: Duty(
        title="transmitter off, props off",
        what="Off: within about a second the loss is seen, motors stopped, servos safe."
        " On again: no motor before it is armed anew. Note the times.",
        needs=(Step.RADIO,),
        undone_by=(Happening.RADIO,),
        of_board=True,
    ),
    Step.SPIN: Duty(
        title="each motor alone, props off",
        what="First the proof that the board ends a run by itself; then which motor"
        " turns, and which way.",
        needs=(Step.POWER, Step.FAILSAFE),
        words=("spin",),
        work=Work.SPIN,
        undone_by=(Happening.MOTOR,),
        of_board=True,
    ),
    Step.SHAKE: Duty(
        title="shaking, props off",
        what="Each motor at a tenth of its power: what the board feels, and what your"
        " fingers do. One twice as rough as the other is a bell, a bearing or a screw.",
        needs=(Step.SPIN,),
        undone_by=(Happening.MOTOR,),
        of_board=True,
    ),
    Step.CORRECTIONS: Duty(
        title="answers to hand and stick",
        what="Props off. Nose tipped down: both tilts aft. Nose pushed left: left tilt"
        " forward, right aft. Right side down: the right motor speeds up. Sticks the"
        " same way.",
        needs=(Step.MOUNTING, Step.THROW, Step.RADIO, Step.SPIN),
        undone_by=(Happening.BOARD, Happening.SERVO, Happening.MOTOR),
        of_board=True,
    ),
    Step.BALANCE: Duty(
        title="balance, battery marked",
        what="All parts fitted, tilts at centre, hung on the tilt axis: within 2 deg, and"
        " side to side within 2 mm. Mark where the pack sits. Note the slide.",
        needs=(Step.THROW, Step.LEVEL),
        undone_by=(Happening.BATTERY,),
    ),
    Step.SIGN: Duty(
        title="last copy, signed",
        what="A copy of what will fly, and your name under it. What is still open is"
        " signed with its reason.",
        needs=_BEFORE_SIGNING,
        words=("job", "done", "sign"),
    ),
    Step.OUTDOORS: Duty(
        title="outdoors, props on",
        what="Hand and side of each prop, tight. Range check, then full power BACK ON."
        " Low hover, land, feel for heat. Note how it went.",
        needs=(Step.SIGN,),
    ),
}


def undone(happening: Happening) -> tuple[Step, ...]:
    """The steps that have to be done again when that happened."""
    return tuple(step for step in Step if happening in step.duty.undone_by)

"""Spin by radio: the person spins from the transmitter, the tool asks and writes down.

Where the board cannot be trusted to end a run by itself, its own radio link can: it has
a failsafe. Rolling tells the motors apart: the left one speeds up when the stick goes to
the right, for that lifts the left side.
"""

from collections.abc import Mapping
from typing import Final

from benchlink.core.roles import OwnSide
from benchlink.core.spin_answers import Answer, Means
from benchlink.workflows.spin_asking import ask_what_turned, ask_which_way
from benchlink.workflows.spin_bench import REAL_STOP, SpinBench

STICK: Final[Mapping[OwnSide, str]] = {OwnSide.LEFT: "right", OwnSide.RIGHT: "left"}
"""Where the roll stick goes to speed up the motor of a side."""


def spin_by_radio(bench: SpinBench, sides: tuple[OwnSide, ...]) -> tuple[Answer, ...]:
    """Ask for the same as after a run by the tool; nothing moving is sent.

    Raises:
        SafetyRefusalError: props off was not confirmed.
        DeclinedError: nobody answered.
    """
    tell = bench.person.tell
    bench.mover.confirm_props_off()
    tell(
        "You spin the motors from the transmitter; this tool sends nothing that moves."
    )
    tell(f"  1. Transmitter on, power stick low. Pack in last. {REAL_STOP}")
    tell("  2. Arm by the transmitter, then raise power until both just turn.")
    answers = tuple(_answer(bench, side) for side in sides)
    tell("Power stick low, disarm, pull the pack; transmitter off last.")
    return answers


def _answer(bench: SpinBench, side: OwnSide) -> Answer:
    bench.person.tell(
        f"Roll stick a little to the {STICK[side]} and hold it: the {side.value} motor"
        " should speed up."
    )
    turned = ask_what_turned(bench, "Which one sped up?")
    own = turned.side
    turning = ask_which_way(bench, own) if own is not None else None
    return Answer(ordered=side, turned=turned, turning=turning, means=Means.RADIO)

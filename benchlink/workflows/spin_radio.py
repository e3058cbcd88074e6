"""Spin by radio: the person spins from the transmitter, the tool asks and writes down.

Where the board cannot be trusted to end a run by itself, its own radio link can: it has
a failsafe. Rolling tells the motors apart: the left one speeds up when the stick goes to
the right, for that lifts the left side.
"""

from collections.abc import Mapping
from typing import Final

from benchlink.core.cautions import REAL_STOP
from benchlink.core.roles import OwnSide
from benchlink.core.spin_answers import Answer, Means, Turned
from benchlink.workflows.pack_place import IN, have_the_pack, told_pack
from benchlink.workflows.spin_asking import ask_what_was_seen
from benchlink.workflows.spin_bench import SpinBench

STICK: Final[Mapping[OwnSide, str]] = {OwnSide.LEFT: "right", OwnSide.RIGHT: "left"}
"""Where the roll stick goes to speed up the motor of a side."""
ROLL_FROM: Final = 5
"""The number of the first step with the roll stick."""
NOT_IN: Final = "Nothing was sent that moves. Start again when the pack may go in."


def spin_by_radio(bench: SpinBench, sides: tuple[OwnSide, ...]) -> tuple[Answer, ...]:
    """Ask for the same as after a run by the tool; nothing moving is sent.

    Raises:
        SafetyRefusalError: props off was not confirmed, or no pack went in.
        DeclinedError: nobody answered.
    """
    mover, tell = bench.mover, bench.person.tell
    tell(
        "You spin the motors from the transmitter; this tool sends nothing that moves."
    )
    if not told_pack(mover):
        mover.confirm_props_off()
    tell("  1. Transmitter on, power stick low; only then the pack.")
    tell(f"  2. Pack in, last. {REAL_STOP}")
    have_the_pack(mover, bench.person, IN, NOT_IN)
    tell("  3. Look at both hubs once more, now that the motors have power.")
    # What was confirmed before the pack went in does not count after it.
    mover.confirm_props_off()
    tell("  4. Arm by the transmitter, then raise power until both just turn.")
    answers = tuple(
        _answer(bench, side, number) for number, side in enumerate(sides, ROLL_FROM)
    )
    tell(
        f"  {ROLL_FROM + len(sides)}. Power stick low, disarm, pull the pack;"
        " transmitter off last."
    )
    return answers


def _answer(bench: SpinBench, side: OwnSide, number: int) -> Answer:
    bench.person.tell(
        f"  {number}. Roll stick a little to the {STICK[side]} and hold it: the"
        f" {side.value} motor should speed up."
    )
    ordered = Answer(
        ordered=side, turned=Turned.NOTHING, turning=None, means=Means.RADIO
    )
    return ask_what_was_seen(bench, ordered, "Which one sped up?")

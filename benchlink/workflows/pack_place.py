"""The pack in or out: typed by the person, and looked at where the board tells its volts."""

from typing import Final

from benchlink.core.doors import Person
from benchlink.core.gate import PACK_IN_VOLTS
from benchlink.core.readings import Quantity
from benchlink.core.restart_leave import RAIL_DEAD_VOLTS
from benchlink.core.slips import to_the_letter
from benchlink.errors import SafetyRefusalError
from benchlink.workflows.mover import Mover
from benchlink.workflows.readings import one_look

OUT: Final = "out"
IN: Final = "in"
"""What is typed once the pack is out, or in."""
TRIES: Final = 3
"""How often the board may tell otherwise."""
SUPPLY: Final = (
    "The servo rail has {volts:.1f} V with the pack out: a bench supply feeds it. Take the"
    " supply off the rail first; the pack goes in only then."
)
ACTS: Final = {OUT: "Pull", IN: "Connect"}


def told_pack(mover: Mover) -> bool | None:
    """Whether a pack is in; None where the board tells no pack voltage.

    Raises:
        LinkError: it does not answer.
    """
    volts = mover.look().pack_volts
    return None if volts is None else volts > PACK_IN_VOLTS


def _tell_of_supply(mover: Mover, person: Person) -> None:
    """A pack beside a bench supply: two feed one rail, and one of them feeds the other."""
    volts = one_look(mover.session, Quantity.RAIL_VOLTS)
    if volts is not None and volts >= RAIL_DEAD_VOLTS:
        person.tell(SUPPLY.format(volts=volts))


def have_the_pack(mover: Mover, person: Person, where: str, hint: str) -> None:
    """Have the pack out or in before anything else; nothing is asked where it is so.

    Raises:
        SafetyRefusalError: nobody said so, or the board tells otherwise; with the hint.
        LinkError: the board does not answer.
    """
    wanted = where == IN
    if wanted and told_pack(mover) is False:
        _tell_of_supply(mover, person)
    ask = (
        f"{ACTS[where]} the pack, from behind the disc; the board stays on its cable."
        f" Type `{where}` then: "
    )
    for _ in range(TRIES):
        if told_pack(mover) is wanted:
            return
        typed = to_the_letter(
            lambda asked: person.types(asked).strip().casefold(), ask, where
        )
        if typed != where:
            break
        if told_pack(mover) in {wanted, None}:
            return
        person.tell("The board still tells otherwise: look at plug and cable.")
    msg = f"the pack is not {where}, or nobody said so"
    raise SafetyRefusalError(msg, hint=hint)

"""What the person has to say before a plan is carried out.

A flag may stand for the yes to the plan itself. Nothing but typing stands for hands
that are clear, and nothing but a yes at a terminal for a value that is gone for good.
"""

from benchlink.core.confirmation import HandsClear, words_before
from benchlink.core.confirmation import confirm_hands_clear as typed_hands_clear
from benchlink.core.doors import Person
from benchlink.core.may_move import MayMove, by_setting, spins
from benchlink.core.plan import Plan
from benchlink.core.readings import Quantity
from benchlink.core.slips import to_the_letter
from benchlink.errors import DeclinedError, SafetyRefusalError
from benchlink.workflows.readings import highest
from benchlink.workflows.session import Session


def get_agreement(
    plan: Plan,
    person: Person,
    *,
    agreed: bool,
    session: Session,
    moving: tuple[MayMove, ...] = (),
) -> HandsClear | None:
    """Ask for all that this plan needs; `agreed` is the yes to the plan by a flag.

    `moving` says what else may move, a line each, beside what the plan writes. A plan
    without changes still keeps and restarts: that is asked for as well. Gives what was
    confirmed about hands, in the epoch of now; None where nothing may move.

    Raises:
        LinkError: the port went away or the board fell silent for good.
        SafetyRefusalError: nobody confirmed that hands are clear.
        DeclinedError: the person said no, or nobody could be asked.
    """
    planned = (by_setting(c.name, c.moves) for c in plan.moving)
    movers = tuple(dict.fromkeys((*planned, *moving)))
    hands = confirm_hands_clear(movers, person, session) if movers else None
    if plan.one_way:
        _get_farewell(plan, person)
    if not agreed and not person.agrees(_question(plan)):
        msg = "the plan was not agreed to"
        raise DeclinedError(msg, hint="Nothing was written.")
    return hands


def confirm_hands_clear(
    moving: tuple[MayMove, ...],
    person: Person,
    session: Session,
    *,
    so_far: str = "Nothing was written.",
) -> HandsClear:
    """Ask for the typed words; `moving` says what may move, a line each.

    Where a motor is among it, the words say as well that the props are off, of the
    aircraft with the pack that is in then.

    `so_far` is what a refusal says about the board.

    Raises:
        SafetyRefusalError: nobody typed them.
        LinkError: the port went away or the board fell silent for good.
    """
    epoch = session.board.epoch
    person.tell(
        "This can move something. Props off; pack out, or hands clear of"
        " the tilt arms and the discs:"
    )
    for one in moving:
        person.tell(f"  {one}")
    motors = spins(moving)
    if motors:
        person.tell("A motor may turn at once: look at both hubs before you type.")
    wanted = words_before(motors=motors)
    typed = to_the_letter(person.types, f"Type '{wanted}' to go on: ", wanted)
    volts: float | None = None
    if motors and typed == wanted:
        (volts,) = highest(session, Quantity.PACK_VOLTS)
    try:
        return typed_hands_clear(typed, epoch, motors=motors, pack_volts=volts)
    except SafetyRefusalError as refusal:
        refusal.details = tuple(map(str, moving))
        refusal.hint = so_far
        if not typed:
            refusal.hint += " Only what somebody types confirms this, no flag."
        raise


def _get_farewell(plan: Plan, person: Person) -> None:
    names = tuple(f"{c.name}: the old value {c.one_way}" for c in plan.one_way)
    person.tell("These old values cannot be written back on this console:")
    for name in names:
        person.tell(f"  {name}")
    if not person.agrees("Give them up?"):
        msg = "nobody agreed to give up values that cannot be put back"
        raise DeclinedError(
            msg,
            details=names,
            hint="Nothing was written. Only a typed yes agrees to this; or leave the"
            " setting out.",
        )


def _question(plan: Plan) -> str:
    count = len(plan.changes)
    if not count:
        return "Nothing is left to write. Keep what the board holds, and restart it?"
    return f"Write {'one value' if count == 1 else f'{count} values'} to the board?"

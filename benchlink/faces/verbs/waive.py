"""`benchlink waive`: accept on paper that a setting is not as wanted, with a reason."""

from typing import Final

from benchlink.core.aircraft import Aircraft, aircraft_named
from benchlink.errors import FileError, NoPortError, UsageError
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.hangar import own_layers
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.talker import Talker
from benchlink.faces.wiring import aircraft_folder
from benchlink.faces.wording import error_lines, plain
from benchlink.store import own_layer

WHY: Final = "Why is it accepted that the board holds another value? "


def run(given: Given) -> int:
    """Waive it; a board is only opened to tell whose it is."""
    _refuse_useless(given)
    if given.aircraft and not (given.port or given.console or given.record):
        aircraft = aircraft_named(given.aircraft, aircraft_folder().fleet())
        return _done(aircraft, PlainPerson(), given)
    try:
        with at_board(given) as at:
            return at_work(at, given)
    except NoPortError as error:
        error.hint += " With `--aircraft TAIL` a waiver needs no board."
        raise


def at_work(at: AtBoard, given: Given) -> int:
    """The same for the aircraft of a board that is open."""
    _refuse_useless(given)
    if at.aircraft is None:
        msg = "nobody has said which aircraft this board is in, and a waiver is its own"
        raise UsageError(
            msg,
            hint="Nothing was written. Make the aircraft's folder with `benchlink"
            " aircraft TAIL --uses PROFILE`, or name a known one with `--aircraft`.",
        )
    return _done(at.aircraft, at.person, given)


def _refuse_useless(given: Given) -> None:
    """Refuse what needs no look at any file.

    Raises:
        UsageError: a reason without words, or one for a waiver that is lifted.
    """
    if given.lift and given.why is not None:
        msg = "a waiver that is lifted takes no reason"
        raise UsageError(msg, hint="Nothing was written. Give the reason or `--lift`.")
    if given.why is not None:
        _require_reason(given.why)


def _require_reason(typed: str) -> str:
    reason = typed.strip()
    if not reason:
        msg = "a waiver needs a reason: whoever flies it next wants to know why"
        raise UsageError(
            msg, hint="Nothing was written. Say it behind the name, or type it."
        )
    return reason


def _done(aircraft: Aircraft, person: Talker, given: Given) -> int:
    lines = (_lifted if given.lift else _waived)(aircraft, person, given)
    shown = (*lines, f"file      {aircraft.profile}")
    person.result("\n".join(map(plain, shown)))
    return ExitCode.SAME


def _waived(aircraft: Aircraft, person: Talker, given: Given) -> list[str]:
    name = given.name
    asked = own_layer.waivable(aircraft, name)
    if given.why is None:
        because = f", because: {asked.wanted.reason}" if asked.wanted.reason else ""
        person.tell(f"{name} is the {asked.wanted.owner.value}'s to decide{because}")
    reason = _require_reason(person.types(WHY) if given.why is None else given.why)
    own_layer.waive(aircraft, name, reason)
    before = [f"before    {asked.waiver.reason}"] if asked.waiver else []
    return [f"waived    {name}: {reason}", *before]


def _lifted(aircraft: Aircraft, person: Talker, given: Given) -> list[str]:
    name = given.name
    waiver = own_layer.own_waiver(aircraft, name)
    own_layer.lift(aircraft, name)
    _tell_what_stays(aircraft, person, name)
    return [f"lifted    {name}, which was waived: {waiver.reason}"]


def _tell_what_stays(aircraft: Aircraft, person: Talker, name: str) -> None:
    """A lower layer may waive it as well; other mistakes there stay as they were."""
    try:
        waiver = own_layers(aircraft).waivers.get(name)
    except FileError as error:
        for line in error_lines(error):
            person.tell(line)
        return
    if waiver is not None:
        person.tell(f"It stays waived by {waiver.place}: {waiver.reason}")

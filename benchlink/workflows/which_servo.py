"""Which servo it is: asked, and never guessed without a word."""

from typing import Final

from benchlink.core.doors import Person
from benchlink.core.parts import UNKNOWN_MAKE, Parts, ServoMake
from benchlink.errors import DeclinedError, UsageError

TRIES: Final = 3
TAKEN: Final = (
    f"The servo is taken for {UNKNOWN_MAKE}, about {UNKNOWN_MAKE.part.us_per_deg:g} us a"
    " degree. What its maker prints always wins."
)


def which_servo(
    parts: Parts, person: Person, named: str, what: str, before: str = ""
) -> ServoMake:
    """The servo that was named, or that the person names now.

    `what` is the place it sits in: `the left tilt`. `before` is the name of the one that
    was answered there last, offered for an empty answer. The word `unknown`, or a yes to the
    question whether it may be taken for one, gives the unknown servo, and says so.

    Raises:
        UsageError: there is no such servo.
        DeclinedError: nobody said which one it is.
    """
    last = _known(parts, before)
    answer = parts.servo(named) if named else _asked(parts, person, what, last)
    make = answer or UNKNOWN_MAKE
    if make.known:
        person.tell(f"servo of {what}: {make}")
        return make
    person.tell(TAKEN)
    if answer is None and not person.agrees("Go on with an unknown servo?"):
        msg = f"nobody said which servo {what} has"
        raise DeclinedError(
            msg,
            hint="Nothing moved. Its data sheet tells; a file in a folder `parts`"
            " makes it known.",
        )
    return make


def _known(parts: Parts, name: str) -> ServoMake | None:
    """The servo of that name; None where there is none any more."""
    return UNKNOWN_MAKE if name == UNKNOWN_MAKE.name else parts.servos.get(name)


def _asked(
    parts: Parts, person: Person, what: str, last: ServoMake | None
) -> ServoMake | None:
    """The servo as it was typed; None where nobody knows it."""
    person.tell(f"known servos: {', '.join(parts.servos) or 'none'}")
    empty = "nothing: nobody knows"
    if last is not None:
        unknown = f"; `{UNKNOWN_MAKE.name}`: nobody knows" if last.known else ""
        empty = f"Enter: as before, {last.name}{unknown}"
    for _ in range(TRIES):
        typed = person.types(f"servo of {what} ({empty}): ").strip()
        try:
            return parts.servo(typed) if typed else last
        except UsageError as exc:
            person.tell(f"{exc}. {exc.hint}")
    return None

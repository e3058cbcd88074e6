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


def which_servo(parts: Parts, person: Person, named: str, what: str) -> ServoMake:
    """The servo that was named, or that the person names now.

    `what` is the place it sits in: `the left tilt`. The word `unknown`, or a yes to the
    question whether it may be taken for one, gives the unknown servo, and says so.

    Raises:
        UsageError: there is no such servo.
        DeclinedError: nobody said which one it is.
    """
    make = parts.servo(named) if named else _asked(parts, person, what)
    if make.known:
        person.tell(f"servo of {what}: {make}")
        return make
    person.tell(TAKEN)
    if not named and not person.agrees("Go on with an unknown servo?"):
        msg = f"nobody said which servo {what} has"
        raise DeclinedError(
            msg,
            hint="Nothing moved. Its data sheet tells; a file in a folder `parts`"
            " makes it known.",
        )
    return make


def _asked(parts: Parts, person: Person, what: str) -> ServoMake:
    person.tell(f"known servos: {', '.join(parts.servos) or 'none'}")
    for _ in range(TRIES):
        typed = person.types(f"servo of {what} (nothing: nobody knows): ").strip()
        try:
            return parts.servo(typed) if typed else UNKNOWN_MAKE
        except UsageError as exc:
            person.tell(f"{exc}. {exc.hint}")
    return UNKNOWN_MAKE

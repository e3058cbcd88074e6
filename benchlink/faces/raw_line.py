"""A line that a person gives word for word: held where nobody knows what it does."""

from benchlink.console.description import Description
from benchlink.console.hazards import Classifier
from benchlink.core.doors import Person
from benchlink.core.hazard import NOT_KNOWN, hazard_words
from benchlink.errors import DeclinedError, SafetyRefusalError


def require_harmless(
    line: str, data: bytes, description: Description | None, person: Person
) -> None:
    """Pass a line that only tells something, or that was typed once more.

    Raises:
        SafetyRefusalError: by the description it does more than that.
        DeclinedError: nobody knows what it does, and it was not typed again.
    """
    hazards = Classifier(description).classify(data) if description else NOT_KNOWN
    if hazards - NOT_KNOWN:
        msg = f"`{line}` {hazard_words(hazards - NOT_KNOWN)}"
        raise SafetyRefusalError(
            msg, hint="Nothing was sent. `--raw` is for lines that only tell something."
        )
    if not hazards:
        return
    who = f"The console {description.name!r} does not know" if description else ""
    person.tell(f"{who or 'Nobody has described what this board makes of'} `{line}`.")
    person.tell("It may move something: props off, pack out, servos unplugged?")
    if person.types("Type the line again to send it: ") != line:
        msg = f"`{line}` was not typed again"
        raise DeclinedError(
            msg, hint="Nothing was sent. Run this at a terminal, and type it there."
        )

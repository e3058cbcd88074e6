"""What only the person knows and a console asks for before it talks: a user, a word."""

from collections.abc import Mapping

from benchlink.console.description import Description
from benchlink.core.doors import Person
from benchlink.errors import UsageError


def told_by_person(description: Description, person: Person) -> Mapping[str, str]:
    """Ask for what only the person knows; it is written down nowhere.

    Raises:
        UsageError: nobody could be asked.
    """
    told: dict[str, str] = {}
    for asked in description.asks:
        ask = person.whispers if asked.secret else person.types
        told[asked.name] = ask(f"{asked.prompt}: ")
        if not told[asked.name]:
            msg = f"the console {description.name!r} asks for the {asked.name}"
            raise UsageError(
                msg, hint="Nothing was sent. Run this at a terminal and type it."
            )
        if not description.manner.charset.has(told[asked.name]):
            writes = description.manner.charset.writes
            msg = f"the {asked.name} holds a character that cannot be sent in {writes}"
            raise UsageError(
                msg, hint="Nothing was sent. Does the description lack its `charset:`?"
            )
    return told

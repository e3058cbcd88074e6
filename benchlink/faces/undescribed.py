"""A board whose console nobody has described: its port, and nothing more."""

from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from benchlink.core.doors import Person
from benchlink.errors import UsageError
from benchlink.faces.recording import NOBODY, heading_of
from benchlink.faces.wiring import (
    Choice,
    choose_console,
    choose_port,
    clock,
    now,
    open_door,
    speed_of,
)
from benchlink.link.replay import SCHEME, replay_of
from benchlink.link.wire import Wire


def nobody_described(choice: Choice, person: Person) -> bool:
    """Whether nobody has said what that board speaks.

    Raises:
        LinkError: there is no such board.
        FileError: the description has mistakes.
        SafetyRefusalError: it is new, and nobody approved it.
    """
    port = choose_port(choice)
    if port.url.startswith(SCHEME):
        return False
    try:
        choose_console(choice, port, person)
    except UsageError:
        return True
    return False


@contextmanager
def open_undescribed(choice: Choice, person: Person) -> Iterator[Wire]:
    """Open the port that was meant, with other benchlinks kept out.

    Raises:
        LinkError: it does not open.
        FileError: a recording is asked for and cannot be written.
    """
    port, speed = choose_port(choice), speed_of(choice)
    with open_door(choice, port, person, replay_of(port.url)) as door:
        if choice.record:
            heading = heading_of(port.url, speed, now())
            door.record(Path(choice.record), heading, NOBODY, clock)
        with closing(door.open_wire(port.url, speed, port)) as wire:
            yield wire

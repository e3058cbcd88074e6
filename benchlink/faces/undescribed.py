"""A board whose console nobody has described: its port, and nothing more."""

from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from benchlink.core.doors import Person
from benchlink.faces.recording import NOBODY, heading_of
from benchlink.faces.wiring import (
    Choice,
    choose_port,
    clock,
    now,
    open_door,
    speed_of,
)
from benchlink.link.replay import replay_of
from benchlink.link.wire import Wire


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

"""Whoever a verb works for: a person who is given results beside what is told."""

from typing import Protocol

from benchlink.core.doors import Person
from benchlink.units import Seconds


class Talker(Person, Protocol):
    """The person at a plain terminal, or at a page of the full screen."""

    @property
    def columns(self) -> int:
        """How wide a line may be that is made for them."""
        ...

    def result(self, text: str, /) -> None:
        """Give what came out: a line, or several under one another, all spelled plain."""
        ...

    def pause(self, for_s: Seconds, /) -> None:
        """Let time pass; whoever interrupts it ends the work there and then.

        Raises:
            KeyboardInterrupt: the person ended it.
        """
        ...

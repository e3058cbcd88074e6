"""A pulse of the event loop: whether whoever sits there could still be heard and shown."""

from collections.abc import Callable
from typing import Final, final

from benchlink.units import Seconds

LOST_AFTER: Final = Seconds(1.5)
"""As long as this an ordinary page never makes anybody wait."""
LOOKS: Final = 8
"""So often a waiting thread has had its turn by then: a program that was stopped as a
whole, or that starves beside busy neighbours, has not lost its person."""
STUCK_AFTER: Final = Seconds(2.0)
"""From then on a signal does not wait for the loop."""


@final
class Pulse:
    """Beaten on the event loop, felt on any thread."""

    def __init__(self, clock: Callable[[], Seconds]) -> None:
        self.clock: Final = clock
        self.beats = 0
        """How often the loop came by while the terminal took what it was sent."""
        self._looped_at = clock()

    def beat(self, *, follows: bool) -> None:
        """The loop goes round; `follows`: and the terminal takes what is drawn."""
        self._looped_at = self.clock()
        self.beats += follows

    @property
    def stuck(self) -> bool:
        """Whether the loop itself does not go round any more."""
        return self.clock() - self._looped_at > STUCK_AFTER


@final
class Listening:
    """One wait for a person, on the thread that waits."""

    def __init__(self, pulse: Pulse) -> None:
        self._pulse: Final = pulse
        self._beats = pulse.beats
        self._since = pulse.clock()
        self._looks = 0

    def lost(self) -> bool:
        """Look once more: whether the person has been out of reach for too long."""
        if self._pulse.beats != self._beats:
            self._beats, self._since = self._pulse.beats, self._pulse.clock()
            self._looks = 0
            return False
        self._looks += 1
        return self._looks >= LOOKS and self._pulse.clock() - self._since > LOST_AFTER

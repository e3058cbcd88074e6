"""What the wire's speed tells: when it is free, and when what was sent has arrived."""

from typing import Final, final

from benchlink.units import Baud, Seconds, wire_time

LEAD: Final = Seconds(0.002)
"""How far the bytes handed to the system may run ahead of a paced wire: what a stop
has to wait behind."""

CLOCKS_DIFFER: Final = 0.05
"""By how much of its time a byte may come early: 8N1 still works with two clocks that
differ by so much."""

CLEARLY_FASTER: Final = 2
HELD_BACK: Final = Seconds(0.05)
"""Bytes that came in less than half the time they take prove that the speed only
stands on paper, as on a USB port that takes any; what an adapter may have held back
before counts for nothing."""


@final
class Pace:
    """When bytes may leave, and when they are there."""

    def __init__(self, speed: Baud | None, pause: Seconds, now: Seconds) -> None:
        self._speed: Final = speed
        self._pause: Final = pause
        self._free_at = self._not_before = now
        self._turned = now
        self._came = 0
        """Bytes that came since something was sent."""
        self._believed = True
        """Whether the wire keeps to its speed."""

    def sent(self, count: int, now: Seconds) -> Seconds:
        """Bytes were handed over; when the last of them can first have arrived."""
        self._turned, self._came = now, 0
        started = max(now, self._free_at)
        taken = self.span(count)
        self._free_at = Seconds(started + taken)
        if not self._believed:
            return now
        return Seconds(started + taken * (1 - CLOCKS_DIFFER))

    def answered(self, now: Seconds) -> None:
        """An answer ended: the board may need its pause."""
        self._not_before = Seconds(now + self._pause)

    def heard(self, count: int, now: Seconds) -> None:
        """Bytes came."""
        self._came += count
        if self.span(self._came) > CLEARLY_FASTER * (now - self._turned) + HELD_BACK:
            self._believed = False

    def span(self, count: int) -> Seconds:
        """Time that bytes take by the declared speed; none at all where there is none."""
        return wire_time(count, self._speed)

    @property
    def room_at(self) -> Seconds:
        """When the next line may be handed over, the wire being almost free."""
        return Seconds(max(self._free_at - LEAD, self._not_before))

    @property
    def stop_at(self) -> Seconds:
        """When a stop may leave: at once, but not into a pause in which it is lost."""
        if not self._pause:
            return self._not_before
        return Seconds(max(self._free_at + self._pause, self._not_before))

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
"""Bytes that came in less than half the time they take prove that the speed only
stands on paper, as on a USB port that takes any."""

HELD_BACK: Final = Seconds(0.05)
HELD_BACK_BYTES: Final = 64
"""What an adapter may have held back, and hand over at once, proves nothing."""


@final
class Pace:
    """When bytes may leave, and when they are there."""

    def __init__(self, speed: Baud | None, pause: Seconds, now: Seconds) -> None:
        self._byte: Final = wire_time(1, speed)
        self._pause: Final = pause
        self._free_at = self._not_before = now
        self._sent_at: Seconds | None = None
        self._came = 0
        """Bytes that came since then."""
        self._believed = True
        """Whether the wire keeps to its speed."""

    def sent(self, count: int, now: Seconds) -> Seconds:
        """Bytes were handed over; when the last of them can first have arrived."""
        self._sent_at, self._came = now, 0
        started = max(now, self._free_at)
        self._free_at = Seconds(started + self.span(count))
        if not self._believed:
            return now
        return Seconds(started + self.span(count) * (1 - CLOCKS_DIFFER))

    def answered(self, now: Seconds) -> None:
        """An answer ended: the board may need its pause."""
        self._not_before = Seconds(now + self._pause)

    def heard(self, count: int, now: Seconds) -> None:
        """Bytes came."""
        if self._sent_at is None or not self._believed or not self._byte:
            return
        self._came += count
        least = (self._came - HELD_BACK_BYTES) * self._byte - HELD_BACK
        if least > CLEARLY_FASTER * (now - self._sent_at):
            self._believed = False

    def span(self, count: int) -> Seconds:
        """Time that bytes take by the declared speed; none at all where there is none."""
        return Seconds(count * self._byte)

    def took(self, count: int) -> Seconds:
        """Time that bytes took at least: none on a wire that is faster than it says."""
        return self.span(count) if self._believed else Seconds(0.0)

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

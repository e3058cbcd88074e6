"""How long a motion may go on without a sign of life from the person.

A pure function of time, ticked by the link thread. Renewals come from key events, never
from a timer; when the face freezes or dies there are none, and the lease runs out. The
board's own expiry has to outlast several renewals, or a slow wire would stutter.
"""

from dataclasses import dataclass, replace
from typing import Final

from benchlink.errors import SafetyRefusalError
from benchlink.units import Seconds

RENEW_EVERY: Final = Seconds(0.1)
"""How often a held key renews a lease, at most."""
LASTS: Final = Seconds(0.3)
"""How long a lease lives without a renewal."""
RENEWALS_BEFORE_EXPIRY: Final = 3
"""Renewals that have to fit into the board's own expiry."""
LONGEST_EXTENSION: Final = Seconds(0.2)
"""By how much one repeat of a held key may extend a motion."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lease:
    """One motion that lives on key events."""

    slot: str
    granted: Seconds
    renewed: Seconds
    hard_end: Seconds
    """When it ends whatever the keys say."""

    @property
    def until(self) -> Seconds:
        """When it runs out unless somebody renews it."""
        return Seconds(min(self.renewed + LASTS, self.hard_end))

    def alive(self, now: Seconds) -> bool:
        """Whether the motion may still go on."""
        return self.renewed <= now < self.until

    def renew(self, key_at: Seconds, now: Seconds) -> "Lease":
        """The lease after a key event; a dead one, or an old key, gives no life."""
        if not self.alive(now) or not self.renewed <= key_at <= now:
            return self
        if now - key_at > LONGEST_EXTENSION:
            return self
        return replace(self, renewed=key_at)


def grant(slot: str, now: Seconds, *, longest: Seconds, expiry: Seconds) -> Lease:
    """Begin a lease.

    Raises:
        SafetyRefusalError: the board's own expiry is too short to be renewed in time.
    """
    if expiry < RENEWALS_BEFORE_EXPIRY * RENEW_EVERY:
        msg = (
            f"the board ends a motion after {expiry:g} s: too soon to hold a key for it"
        )
        raise SafetyRefusalError(msg, hint="Nothing was sent. Use single bursts.")
    return Lease(slot=slot, granted=now, renewed=now, hard_end=Seconds(now + longest))

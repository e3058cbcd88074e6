"""A motor that runs while a key is held, and stops by itself when it is let go.

Nothing runs on the first press: only when the repeats come as they were measured at
this terminal does a run begin. Each repeat extends it by a fifth of a second at most. A
paste, another key, a missed beat or the longest time ends it; after it the motor rests
for as long as it ran.
"""

from dataclasses import dataclass, replace
from typing import Final

from benchlink.core.key_repeat import FIRST_DELAY, SHORTEST_GAP, KeyRepeat
from benchlink.core.lease import LONGEST_EXTENSION, RENEW_EVERY, Lease, grant
from benchlink.units import Seconds

LONGEST_RUN: Final = Seconds(3.0)
"""Of one hold (the trade's protocol); the motor rests after it."""
BEATS: Final = 2
"""Repeats in their measured time before anything runs."""
LEAST_REST: Final = Seconds(1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """Nothing to do yet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Extend:
    """Order the motor for so long from now."""

    run_for: Seconds = LONGEST_EXTENSION


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """Send the stop; the hold is over."""

    why: str


Act = Wait | Extend | End
WAIT: Final = Wait()


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """One hold of one key; the times are those of the face's clock."""

    motor: str
    repeat: KeyRepeat
    expiry: Seconds
    """How soon the board ends a motion by itself, as it was proven."""
    last_key: Seconds | None = None
    beats: int = 0
    lease: Lease | None = None
    ordered: Seconds | None = None
    """When the motor was last told to run."""

    @property
    def ran_for(self) -> Seconds:
        """From the first order to a moment after the last."""
        if self.lease is None or self.ordered is None:
            return Seconds(0.0)
        return Seconds(self.ordered - self.lease.granted + LONGEST_EXTENSION)


def pressed(hold: Hold, at: Seconds, *, same: bool = True) -> tuple[Hold, Act]:
    """After a key; `same` tells whether it is the held one, and the only one that came.

    Raises:
        SafetyRefusalError: the board ends motions too soon to be held by a key.
    """
    if not same:
        return hold, End(why="another key")
    if hold.last_key is None:
        return replace(hold, last_key=at), WAIT
    gap = Seconds(at - hold.last_key)
    if gap < SHORTEST_GAP:
        return hold, End(why="keys came faster than any keyboard repeats: a paste?")
    hold = replace(hold, last_key=at)
    if hold.lease is not None:
        return _renewed(hold, hold.lease, at, gap)
    return _begun(hold, at, gap)


def quiet(hold: Hold, now: Seconds) -> Act:
    """After a while without a key."""
    if hold.lease is None:
        if hold.last_key is not None and now - hold.last_key > FIRST_DELAY[1]:
            return End(why="the key was let go")
        return WAIT
    if hold.lease.alive(now):
        return WAIT
    return End(why=_over(hold.lease, now))


def rest_after(ran_for: Seconds) -> Seconds:
    """How long a motor cools before it runs again."""
    return max(ran_for, LEAST_REST)


def _begun(hold: Hold, at: Seconds, gap: Seconds) -> tuple[Hold, Act]:
    """After a key while nothing runs yet."""
    if hold.repeat.fits(gap):
        hold = replace(hold, beats=hold.beats + 1)
    elif hold.beats or gap > FIRST_DELAY[1]:
        return hold, End(why="the key was let go")
    if hold.beats < BEATS:
        return hold, WAIT
    lease = grant(hold.motor, at, longest=LONGEST_RUN, expiry=hold.expiry)
    return replace(hold, lease=lease, ordered=at), Extend()


def _renewed(hold: Hold, lease: Lease, at: Seconds, gap: Seconds) -> tuple[Hold, Act]:
    if not lease.alive(at):
        return hold, End(why=_over(lease, at))
    # A beat may be missed while an order is on its way; never more than it extends by.
    if gap > LONGEST_EXTENSION:
        return hold, End(why="the key was let go")
    hold = replace(hold, lease=lease.renew(at, at))
    if hold.ordered is not None and at - hold.ordered < RENEW_EVERY:
        return hold, WAIT
    if lease.hard_end - at < LONGEST_EXTENSION:
        return hold, WAIT
    return replace(hold, ordered=at), Extend()


def _over(lease: Lease, now: Seconds) -> str:
    if now >= lease.hard_end:
        return f"{LONGEST_RUN:g} s is the longest run: let it cool"
    return "the key was let go"

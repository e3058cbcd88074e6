"""How a terminal repeats a held key, measured before anything is held by one.

Terminals report no key release: a held key is nothing but presses that come regularly,
after a first delay. Keyboards and desktops wait 0.15 to 1 s and then repeat 8 to 40
times a second. Text from a clipboard comes at once or faster than any of them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median
from typing import Final

from benchlink.units import Seconds

KEYS: Final = 12
"""How many presses are looked at: about half a second of repeats."""
SHORTEST_GAP: Final = Seconds(0.015)
"""No keyboard repeats faster; two bytes nearer to each other were pasted."""
LONGEST_PERIOD: Final = Seconds(0.15)
"""A slower one could not keep alive what each press extends by 0.2 s."""
FIRST_DELAY: Final = (Seconds(0.12), Seconds(1.5))
"""Between the press and the first repeat."""
UNSTEADY: Final = 0.5
"""How far a gap may be off the median, as a share of it."""
SLACK: Final = Seconds(0.02)
"""And beside that, whatever the share: what screens and schedulers add."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyRepeat:
    """What holding a key looks like at this terminal."""

    first_delay: Seconds
    period: Seconds
    jitter: Seconds
    """The gap that was furthest off the period, and by how much."""

    def fits(self, gap: Seconds) -> bool:
        """Whether the next press of a held key may come after such a gap."""
        return gap >= SHORTEST_GAP and abs(gap - self.period) <= _may_be_off(
            self.period
        )

    def __str__(self) -> str:
        return (
            f"first after {self.first_delay * 1000:.0f} ms, then every"
            f" {self.period * 1000:.0f} ms, give or take {self.jitter * 1000:.0f}"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class NoRepeat:
    """These presses are no key that is held."""

    why: str


def measure(times: Sequence[Seconds]) -> KeyRepeat | NoRepeat:
    """What the times of presses of one held key tell, the first press first."""
    if len(times) < KEYS:
        return NoRepeat(why=f"{len(times)} presses came, not {KEYS}: it was let go")
    gaps = [Seconds(later - earlier) for earlier, later in pairwise(times)]
    if min(gaps) < SHORTEST_GAP:
        return NoRepeat(why="several presses came at once, as pasted text does")
    first, repeats = gaps[0], gaps[1:]
    period = Seconds(median(repeats))
    jitter = Seconds(max(abs(gap - period) for gap in repeats))
    why = _not_a_keyboard(first, period, jitter)
    if why:
        return NoRepeat(why=why)
    return KeyRepeat(first_delay=first, period=period, jitter=jitter)


def _not_a_keyboard(first: Seconds, period: Seconds, jitter: Seconds) -> str:
    if period > LONGEST_PERIOD:
        return f"it repeats every {period:.2f} s: too slowly to hold anything by"
    if not FIRST_DELAY[0] <= first <= FIRST_DELAY[1]:
        return f"the first repeat came after {first:.2f} s: no held key does that"
    if first < 2 * period:
        return "there is no delay before the first repeat, as a held key has one"
    if jitter > _may_be_off(period):
        return f"the repeats come {jitter * 1000:.0f} ms off their beat"
    return ""


def _may_be_off(period: Seconds) -> Seconds:
    return Seconds(UNSTEADY * period + SLACK)

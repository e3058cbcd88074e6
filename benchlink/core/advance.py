"""How far one step of a long work has come: what was counted, and what is known of its end."""

from dataclasses import dataclass

from benchlink.units import Seconds


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """So many of so many."""

    done: int
    total: int | None = None
    """None where nobody knows."""
    about: bool = False
    """Whether the total is only what it came to the last time."""

    @property
    def within(self) -> bool:
        """Whether the total is known, and still ahead or just reached."""
        return self.total is not None and self.done <= self.total


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """Nothing is counted but time."""

    so_far: Seconds
    at_most: Seconds


@dataclass(frozen=True, slots=True, kw_only=True)
class Advance:
    """One step, named as it is told to a person: `writing`, `reading back`."""

    what: str
    settings: Amount | None = None
    size: Amount | None = None
    """In bytes."""
    wait: Wait | None = None

    @property
    def measure(self) -> Amount | None:
        """What shows best how much is left; None where no end is known."""
        known = (one for one in (self.size, self.settings) if one and one.within)
        return next(known, None)

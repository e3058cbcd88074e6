"""What was read and seen at the bench so far, in case the work never comes to its record.

Filled as it comes, so that whatever ends the work (the cable, a key, a dead rail, a wrong
word) loses nothing that somebody read. Used on one thread; written down by the faces.
"""

from dataclasses import dataclass, field, replace
from typing import final

from benchlink.core.bench_record import SideWork, Taken
from benchlink.core.broken_off import Earlier
from benchlink.core.horn_seat import LOST_SD_DEG
from benchlink.core.roles import OwnSide
from benchlink.core.seating import HornMove
from benchlink.core.servo_fit import ServoFit
from benchlink.core.spin_answers import Answer
from benchlink.core.spin_expiry import Expiry
from benchlink.core.wiggle import Observed


@final
@dataclass(slots=True, kw_only=True)
class ArmNotes:
    """One arm on its jig."""

    side: OwnSide
    taken: list[Taken] = field(default_factory=list)
    """Every reading, used or not; those of work that was broken off come first."""
    fit: ServoFit | None = None
    """What all readings that count tell by now."""
    horn_moved: bool = False

    def go_on_from(self, earlier: Earlier) -> None:
        """Begin with what was read before."""
        self.fit = earlier.fit
        self.taken = [replace(taken, earlier=True) for taken in earlier.taken]

    def horn_is_off(self, fit: ServoFit, move: HornMove) -> None:
        """Nobody knows where it sits until it was read: no reading before it counts."""
        self.fit = fit.with_horn_moved(move.by_deg, LOST_SD_DEG)
        self.horn_moved = True

    @property
    def new(self) -> bool:
        """Whether anything was read that is not written down yet."""
        return any(not taken.earlier for taken in self.taken)

    @property
    def work(self) -> SideWork:
        """For a record of work that was broken off: no centre and no end is proven."""
        return SideWork(
            side=self.side,
            taken=tuple(self.taken),
            fit=self.fit,
            horn_moved=self.horn_moved,
        )


@final
@dataclass(slots=True, kw_only=True)
class Notebook:
    """All of one piece of work."""

    arms: list[ArmNotes] = field(default_factory=list)
    observed: tuple[Observed, ...] = ()
    """What outputs moved, the last one perhaps without its way."""
    answers: list[Answer] = field(default_factory=list)
    """What motors did, the last one perhaps without its way."""
    proofs: list[Expiry] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    """How far it came beyond that, in sentences."""

    def arm(self, side: OwnSide, earlier: Earlier | None = None) -> ArmNotes:
        """A new page for an arm."""
        notes = ArmNotes(side=side)
        if earlier is not None:
            notes.go_on_from(earlier)
        self.arms.append(notes)
        return notes

    @property
    def sides(self) -> tuple[SideWork, ...]:
        """The arms that were read."""
        return tuple(arm.work for arm in self.arms if arm.new)

    @property
    def what(self) -> str:
        """All of it counted, `7 readings of the left arm`; empty where nothing is new."""
        counted = [
            f"{_count(len(work.taken), 'reading')} of the {work.side.value} arm"
            for work in self.sides
        ]
        if self.observed:
            counted.append(f"{_count(len(self.observed), 'output')} tried")
        if self.answers:
            counted.append(f"{_count(len(self.answers), 'motor')} tried")
        if self.proofs:
            runs = _count(len(self.proofs), "run")
            counted.append(f"{runs} that the board ended by itself")
        return ", ".join(counted)


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"

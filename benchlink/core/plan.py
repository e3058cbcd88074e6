"""What will be written: old and new values for one board as it was read."""

from dataclasses import dataclass
from enum import Enum

from benchlink.core.difference import OFF, Difference
from benchlink.core.identity import Identity
from benchlink.core.intent import Owner
from benchlink.core.settings import Snapshot
from benchlink.core.values import Value
from benchlink.errors import Place


class Moves(Enum):
    """What may move when a setting is written."""

    NOTHING = "nothing"
    SERVO = "servo"
    MOTOR = "motor"


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One setting to write."""

    name: str
    old: Value
    new: Value
    owner: Owner = Owner.UNMANAGED
    reason: str = ""
    moves: Moves = Moves.NOTHING
    one_way: str = ""
    """Why the old value could not be written back; empty when it could."""
    never_kept: bool = False
    """The board forgets it at every restart."""
    place: Place | None = None
    stage: int = 1
    """Stages are written, kept and proven over a restart one after the other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Changes for one board, valid only while its settings are what they were."""

    identity: Identity
    fingerprint: str
    """Of the settings that the old values were taken from."""
    changes: tuple[Change, ...]
    warnings: tuple[str, ...] = ()
    """What would be wrong with the outputs then, a sentence each."""

    @property
    def moving(self) -> tuple[Change, ...]:
        """The changes that may make something move."""
        return tuple(c for c in self.changes if c.moves is not Moves.NOTHING)

    @property
    def before_restart(self) -> tuple[Change, ...]:
        """The changes that a restart has to bring about before the rest is written."""
        last = max((c.stage for c in self.changes), default=1)
        return tuple(c for c in self.changes if c.stage < last)

    @property
    def one_way(self) -> tuple[Change, ...]:
        """The changes that no later line could put back."""
        return tuple(c for c in self.changes if c.one_way)


def plan_for(difference: Difference, snapshot: Snapshot, identity: Identity) -> Plan:
    """Turn every difference that can be written into a change."""
    return Plan(
        identity=identity,
        fingerprint=snapshot.fingerprint(),
        changes=tuple(
            Change(
                name=f.name,
                old=f.now,
                new=f.wanted,
                owner=f.owner,
                reason=f.reason,
                never_kept=snapshot.settings[f.name].never_kept,
                place=f.place,
            )
            for f in difference.of(*OFF)
            if f.now is not None and f.wanted is not None
        ),
    )

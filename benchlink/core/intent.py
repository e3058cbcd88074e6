"""What an aircraft should hold, who owns each value, and why."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import Enum
from fnmatch import fnmatchcase
from typing import Final

from benchlink.core.document import Node, Scalar
from benchlink.core.identity import Identity
from benchlink.core.values import Value
from benchlink.errors import Place

NO_TOLERANCE: Final = Decimal(0)


class Owner(Enum):
    """Who decides a setting's value."""

    BASELINE = "baseline"
    """The type of aircraft."""
    KIT = "kit"
    """The parts fitted: this receiver, this servo."""
    FITTED = "fitted"
    """This one aircraft: centres, end points, level."""
    BOARD = "board"
    """The circuit board itself: sensor calibration."""
    UNMANAGED = "unmanaged"
    """Nobody has said."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """One setting that a profile asks for, as written there."""

    name: str
    given: Node
    owner: Owner
    place: Place
    reason: str = ""
    group: str = ""
    tolerance: Decimal = NO_TOLERANCE


def wanted_value(name: str, value: Value, reason: str) -> Wanted:
    """A value that was measured at the bench, for the aircraft that stands there."""
    place = Place("the bench", 0)
    given = Scalar(str(value), quoted=False, place=place)
    return Wanted(
        name=name, given=given, owner=Owner.FITTED, place=place, reason=reason
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiver:
    """A difference that somebody accepted, and why."""

    name: str
    reason: str
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Fits:
    """Which boards a profile is made for; patterns with `*` and `?`."""

    board_types: tuple[str, ...] = ()
    firmware: tuple[str, ...] = ()

    def accepts(self, identity: Identity) -> bool:
        """Whether this board may get this profile; an empty list accepts all."""
        return _any_match(self.board_types, identity.board_type) and _any_match(
            self.firmware, identity.firmware
        )

    def __str__(self) -> str:
        boards = " or ".join(self.board_types) or "any board"
        return f"{boards}, firmware {' or '.join(self.firmware) or 'any'}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Intent:
    """All layers of a profile folded into one answer per setting."""

    title: str
    source: str
    """File that was asked for."""
    wanted: Mapping[str, Wanted]
    layer: Owner = Owner.UNMANAGED
    """Which layer the asked file is; unmanaged for a backup."""
    aircraft_type: str = ""
    fits: Fits = field(default_factory=Fits)
    waivers: Mapping[str, Waiver] = field(default_factory=dict)
    fitted_names: tuple[str, ...] = ()
    """Patterns of names that belong to the single aircraft: a baseline leaves them."""
    board_names: tuple[str, ...] = ()
    """Patterns of names that belong to the circuit board."""
    claimed: Mapping[str, Owner] = field(default_factory=dict)
    """Names that more special layers decide, and that are left alone here."""

    def owner_of(self, name: str) -> Owner:
        """Who decides the setting called `name`."""
        if name in self.wanted:
            return self.wanted[name].owner
        if matches_any(self.board_names, name):
            return Owner.BOARD
        if name in self.claimed:
            return self.claimed[name]
        return Owner.FITTED if matches_any(self.fitted_names, name) else Owner.UNMANAGED


RANKS: Final[Mapping[Owner, int]] = {
    Owner.BASELINE: 0,
    Owner.KIT: 1,
    Owner.FITTED: 2,
}
"""Owners that are layers of a profile: the higher one is the more special."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlaid:
    """An intent under the more special layers of one aircraft."""

    intent: Intent
    replaced: tuple[str, ...]
    """Names that both ask for: the more special value is wanted."""
    waived: tuple[str, ...]
    """Names that the aircraft's own layers waive."""


def overlaid(asked: Intent, own: Intent) -> Overlaid:
    """Put the layers of an aircraft that are more special than the asked one over it.

    What only they ask for is left alone: nobody asked for it now.
    """
    rank = RANKS.get(asked.layer, len(RANKS))
    special = {n: w for n, w in own.wanted.items() if RANKS.get(w.owner, 0) > rank}
    replaced = {name: special[name] for name in asked.wanted if name in special}
    wanted = {**asked.wanted, **replaced}
    waivers = own.waivers if rank < RANKS.get(own.layer, 0) else {}
    waived = {
        n: w for n, w in waivers.items() if n in wanted and n not in asked.waivers
    }
    return Overlaid(
        intent=replace(
            asked,
            wanted=wanted,
            waivers={**asked.waivers, **waived},
            fitted_names=tuple(dict.fromkeys((*asked.fitted_names, *own.fitted_names))),
            board_names=tuple(dict.fromkeys((*asked.board_names, *own.board_names))),
            claimed={n: w.owner for n, w in special.items() if n not in asked.wanted},
        ),
        replaced=tuple(replaced),
        waived=tuple(waived),
    )


def matches_any(patterns: tuple[str, ...], name: str) -> bool:
    """Whether `name` matches one of the `*` and `?` patterns, case and all."""
    return any(fnmatchcase(name, pattern) for pattern in patterns)


def _any_match(patterns: tuple[str, ...], text: str) -> bool:
    return not patterns or matches_any(patterns, text)

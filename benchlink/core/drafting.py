"""A first baseline from an aircraft that flies well: what is not as made, by owner."""

import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import Final

from benchlink.core.factory import made_value, not_as_made
from benchlink.core.intent import Owner, matches_any
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.values import Value

_PART: Final = re.compile(r"[^A-Za-z0-9]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hints:
    """Names that are not the baseline's to decide."""

    fitted_names: tuple[str, ...] = ()
    """Patterns of names that belong to the single aircraft."""
    board_names: tuple[str, ...] = ()
    """Patterns of names that belong to the circuit board."""
    kit_names: frozenset[str] = frozenset()
    """Names that the parts fitted decide, no patterns."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """One setting that is not as made."""

    name: str
    value: Value
    made: Value | None
    """What a fresh board holds; None where it has no such setting."""

    @property
    def group(self) -> str:
        """The first part of the name."""
        return _PART.split(self.name, maxsplit=1)[0] or self.name


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """Names that a baseline leaves alone, and which of them are not as made."""

    pattern: str
    drawn: tuple[Drawn, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drafted:
    """Everything that a first baseline says."""

    settings: tuple[Drawn, ...]
    kit: tuple[Drawn, ...]
    fitted: tuple[Pattern, ...]
    board: tuple[Pattern, ...]

    def count(self, owner: Owner) -> int:
        """How many values that are not as made belong to an owner."""
        counts = {
            Owner.BASELINE: len(self.settings),
            Owner.KIT: len(self.kit),
            Owner.FITTED: sum(len(pattern.drawn) for pattern in self.fitted),
            Owner.BOARD: sum(len(pattern.drawn) for pattern in self.board),
        }
        return counts.get(owner, 0)


def draft(snapshot: Snapshot, fresh: Snapshot, hints: Hints) -> Drafted:
    """Sort whatever is not as made by who decides it; the board's own comes first."""
    names = tuple(snapshot.settings)
    owned = {
        s.name
        for s in snapshot.settings.values()
        if s.board_owned and not matches_any(hints.board_names, s.name)
    }
    board = _matching((*hints.board_names, *patterns_for(owned, names)), names)
    fitted = _matching(hints.fitted_names, names)
    told = {*not_as_made(snapshot, fresh), *_calibrated(snapshot, fresh)}
    drawn = [
        Drawn(name=n, value=s.value, made=made_value(fresh, n))
        for n, s in snapshot.settings.items()
        if n in told
    ]
    boards, rest = _sorted_out(board, drawn)
    fitteds, rest = _sorted_out(fitted, rest)
    grouped = _grouped(rest)
    return Drafted(
        settings=tuple(d for d in grouped if d.name not in hints.kit_names),
        kit=tuple(d for d in grouped if d.name in hints.kit_names),
        fitted=fitteds,
        board=boards,
    )


def patterns_for(own: Collection[str], names: Iterable[str]) -> tuple[str, ...]:
    """Patterns for `own` of all names: `accel.*` where no other name begins so."""
    known = tuple(names)
    mine = [name for name in known if name in own]
    families = {family for name in mine if (family := _family(name))}
    whole = {
        family
        for family in families
        if all(name in own for name in known if matches_any((family,), name))
    }
    patterns = (
        family if (family := _family(name)) in whole else literal(name) for name in mine
    )
    return tuple(dict.fromkeys(patterns))


def _family(name: str) -> str:
    """The pattern of all names that begin with the same part; empty where none does."""
    part = _PART.search(name)
    return f"{literal(name[: part.end()])}*" if part and part.start() else ""


def literal(name: str) -> str:
    """A name as a pattern, which knows only `*` and `?`."""
    return name.replace("[", "?")


def _matching(patterns: Iterable[str], names: Iterable[str]) -> tuple[str, ...]:
    known = tuple(names)
    return tuple(
        pattern
        for pattern in dict.fromkeys(patterns)
        if any(matches_any((pattern,), name) for name in known)
    )


def _calibrated(snapshot: Snapshot, fresh: Snapshot) -> set[str]:
    def calibrated(setting: Setting) -> bool:
        return setting.board_owned and not setting.volatile

    return {
        name
        for name, setting in snapshot.settings.items()
        if calibrated(setting) and setting.value != made_value(fresh, name)
    }


def _sorted_out(
    patterns: Iterable[str], drawn: Iterable[Drawn]
) -> tuple[tuple[Pattern, ...], list[Drawn]]:
    """Each setting under the first pattern that matches it, and those that none does."""
    rest, sorted_out = list(drawn), []
    for pattern in patterns:
        matched = tuple(d for d in rest if matches_any((pattern,), d.name))
        rest = [d for d in rest if d not in matched]
        sorted_out.append(Pattern(pattern=pattern, drawn=matched))
    return tuple(sorted_out), rest


def _grouped(drawn: Iterable[Drawn]) -> list[Drawn]:
    """Groups in the order in which they first appear."""
    groups: dict[str, list[Drawn]] = {}
    for one in drawn:
        groups.setdefault(one.group, []).append(one)
    return [one for group in groups.values() for one in group]

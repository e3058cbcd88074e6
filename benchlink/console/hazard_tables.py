"""Every command that a description tells of, ready to be looked up."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from benchlink.core.hazard import NO_HAZARD, NOT_KNOWN, Hazard, Hazards


@dataclass(frozen=True, slots=True)
class Addressed:
    """One command that asks for a setting or writes it, cut at its fields."""

    before: tuple[str, ...]
    after: tuple[str, ...]
    """Texts and the names of fields in turn, a text first."""
    spelled: str
    """The field between both, which holds what is written; empty where none is."""
    writes: bool

    def around(self, fields: Mapping[str, str]) -> tuple[str, str] | None:
        """What stands before and after; None where a field is not given."""
        try:
            return _filled(self.before, fields), _filled(self.after, fields)
        except KeyError:
            return None


def _filled(texts: tuple[str, ...], fields: Mapping[str, str]) -> str:
    return "".join(fields[t] if at % 2 else t for at, t in enumerate(texts))


@dataclass(frozen=True, slots=True)
class Meant:
    """A command that does to certain settings what it is meant to."""

    writes: bool
    spelled: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tables:
    """Commands by what is known of them."""

    tagged: Mapping[Hazard, re.Pattern[str]]
    anything: re.Pattern[str]
    """All of these in one, to be quick with what has no hazard."""
    likely: Mapping[Hazard, re.Pattern[str]]
    """The same cut short or with more behind it, and settings that move something."""
    known: re.Pattern[str]
    """Whole commands without a hazard, as the description spells them."""
    asking: re.Pattern[str]
    """Those that ask for something: what stands in their fields may be anything."""
    writing: re.Pattern[str]
    """What goes with a write and names no setting: known where one is meant."""
    listed: frozenset[str]
    """Commands without a hazard that need no expression."""
    addressed: tuple[Addressed, ...]
    keys: tuple[tuple[bytes, str, Hazards], ...]
    """Key, the line whose question it answers, and what both do."""
    free_keys: frozenset[bytes]
    """Keys that only turn a page or decline."""
    folds: bool
    rooted: bool
    """Whether headers stand without the colon of their root."""

    def full(self, command: str) -> Hazards:
        """The hazards of a command in a spelling that surely means it."""
        if not self.anything.fullmatch(command):
            return NO_HAZARD
        return _matching(self.tagged, command)

    def loose(self, command: str) -> Hazards:
        """Those of a command that may be meant."""
        return _matching(self.likely, command)

    def knows(self, command: str) -> bool:
        """Whether it is word for word a command without a hazard."""
        return self.folded(command) in self.listed or bool(
            self.known.fullmatch(command)
        )

    def asks(self, command: str) -> bool:
        """Whether it is one that asks, if it is not something cut short."""
        return self.asking.fullmatch(command) is not None

    def folded(self, command: str) -> str:
        """A command as two that are the same compare."""
        return command.casefold() if self.folds else command

    def meant(self, command: str, fields: Mapping[str, str]) -> Meant | None:
        """What a command does to the setting that has these fields, if anything."""
        folded = self.folded(command)
        for entry in self.addressed:
            ends = entry.around(fields)
            if ends is None:
                continue
            before, after = map(self.folded, ends)
            if self.rooted:
                before = before.removeprefix(":")
            upto = len(command) - len(after)
            fits = len(before) <= upto if entry.spelled else len(before) == upto
            if fits and folded.startswith(before) and folded.endswith(after):
                return Meant(entry.writes, entry.spelled, command[len(before) : upto])
        return None

    def key(self, data: bytes, last: str | None) -> Hazards | None:
        """What a key does as an answer to the question of the last line."""
        if data in self.free_keys:
            return NO_HAZARD
        asked = [(line, does) for key, line, does in self.keys if key == data]
        for line, does in asked:
            if last is not None and self.folded(last.strip()) == self.folded(line):
                return does
        return NOT_KNOWN.union(*(does for _, does in asked)) if asked else None


def _matching(
    forms: Mapping[Hazard, re.Pattern[str]], command: str
) -> frozenset[Hazard]:
    return frozenset(h for h, form in forms.items() if form.fullmatch(command))


def by_hazard(
    pairs: Iterable[tuple[Hazard, str]],
) -> Mapping[Hazard, tuple[str, ...]]:
    """Sources by their hazard."""
    found: dict[Hazard, tuple[str, ...]] = {}
    for hazard, source in pairs:
        found[hazard] = (*found.get(hazard, ()), source)
    return found


MOVING: Final = frozenset({Hazard.SERVO, Hazard.MOTOR})


def lacking(needed: Hazards, told: Hazards) -> Hazards:
    """What nobody told of it; of what moves, to be told one is to be told enough."""
    moving = needed & MOVING
    return needed - told - (moving if moving & told else NO_HAZARD)

"""Several readings of one board, and what can be believed of them together.

A wire that damages bytes damages other lines every time. What enough readings show
alike is so. A name that only one shows is a damaged other one when enough readings miss
it; one that two show is never taken for absent. A name on which too few agree is
disputed, and then nothing is believed.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from benchlink.core.settings import Setting, Snapshot, meaning

ABSENT: Final[tuple[object, ...]] = ()
"""What a name is in a reading that does not show it."""
MISSED: Final = 5
"""Readings, damaged ones too, that miss a name which only one shows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What the readings come to."""

    snapshot: Snapshot | None
    """What they agree on; None where they do not."""
    disputed: tuple[str, ...] = ()


def weigh(copies: Sequence[Snapshot], need: int) -> Verdict:
    """Believe what at least `need` readings show alike, and more than any other."""
    if len(copies) < need:
        return Verdict(snapshot=None)
    clean = _clean(copies)
    believed: dict[str, Setting] = {}
    disputed: list[str] = []
    for name in dict.fromkeys(name for copy in copies for name in copy.settings):
        shown = [copy.settings.get(name) for copy in copies]
        if _is_not_there(shown, clean, need):
            continue
        chosen = _outvoted(shown, need)
        if chosen is None:
            disputed.append(name)
        else:
            believed[name] = chosen
    strange = Counter(line for copy in copies for line in set(copy.not_understood))
    sure = {line for line, count in strange.items() if count >= need}
    if disputed:
        return Verdict(snapshot=None, disputed=tuple(disputed))
    best = max(copies, key=lambda copy: _likeness(copy, believed))
    whole = _likeness(best, believed) == len(believed) == len(best.settings)
    if whole and set(best.not_understood) == sure:
        return Verdict(snapshot=replace(best, damage=_damage(copies, believed)))
    settings = {n: believed[n] for n in best.settings if n in believed} | believed
    return Verdict(
        snapshot=replace(
            best,
            settings=settings,
            not_understood=tuple(line for line in strange if line in sure),
            damage=_damage(copies, believed),
        )
    )


def _clean(copies: Sequence[Snapshot]) -> list[bool]:
    """Whether a reading may miss nothing: a line not understood may have told a name."""
    if len({(copy.not_understood, frozenset(copy.settings)) for copy in copies}) == 1:
        # The same lines every time are a gap of the description, and no damage.
        return [True for _ in copies]
    # A line that is damaged in its name tells a name that no other reading has.
    lists = Counter(name for copy in copies for name in copy.settings)
    return [
        not copy.not_understood and all(lists[name] > 1 for name in copy.settings)
        for copy in copies
    ]


def _is_not_there(
    shown: Sequence[Setting | None], clean: Sequence[bool], need: int
) -> bool:
    """Whether a name is a damaged other one: seen once, and missed often enough.

    With 3.5 % of all lines damaged a name that is there is seen only once in six
    readings with a probability of 6 * 0.035^5, 3 in ten millions.
    """
    missed = [sure for s, sure in zip(shown, clean, strict=True) if s is None]
    if len(shown) - len(missed) > 1:
        return False
    return sum(missed) >= need or len(missed) >= MISSED


def _outvoted(shown: Sequence[Setting | None], need: int) -> Setting | None:
    """What enough readings show alike, and more than any other; None where none is."""
    seen = [setting for setting in shown if setting is not None]
    kinds = Counter(map(_kind, seen))
    kind, count = kinds.most_common(1)[0]
    if count < need or list(kinds.values()).count(count) > 1:
        return None
    return next(setting for setting in seen if _kind(setting) == kind)


def _damage(copies: Sequence[Snapshot], believed: Mapping[str, Setting]) -> float:
    """The share of all settings in all readings that came otherwise than believed."""
    wrong = sum(len(believed) - _likeness(copy, believed) for copy in copies)
    return wrong / (len(copies) * max(1, len(believed)))


def _likeness(copy: Snapshot, believed: Mapping[str, Setting]) -> int:
    return sum(_kind(copy.settings.get(n)) == _kind(s) for n, s in believed.items())


def _kind(setting: Setting | None) -> tuple[object, ...]:
    """What two readings of one setting have to share; a clock may run on."""
    if setting is None:
        return ABSENT
    # Spelled alike, too: damage makes one spelling of a value into another.
    value = "" if setting.volatile else (meaning(setting.value), setting.raw)
    return (value, setting.writable, setting.board_owned, setting.volatile)

"""Several readings of one board, and what can be believed of them together.

A wire that damages bytes damages other lines every time. What enough readings show
alike is so, also that a name is not there; a name on which too few agree is disputed,
and then nothing is believed.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from benchlink.core.settings import Setting, Snapshot, meaning


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
    names = dict.fromkeys(name for copy in copies for name in copy.settings)
    believed: dict[str, Setting] = {}
    disputed: list[str] = []
    for name in names:
        shown = [copy.settings.get(name) for copy in copies]
        kinds = Counter(map(_kind, shown))
        kind, count = kinds.most_common(1)[0]
        if count < need or list(kinds.values()).count(count) > 1:
            disputed.append(name)
            continue
        chosen = next(s for s in shown if _kind(s) == kind)
        if chosen is not None:
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


def _damage(copies: Sequence[Snapshot], believed: Mapping[str, Setting]) -> float:
    """The share of all settings in all readings that came otherwise than believed."""
    wrong = sum(len(believed) - _likeness(copy, believed) for copy in copies)
    return wrong / (len(copies) * max(1, len(believed)))


def _likeness(copy: Snapshot, believed: Mapping[str, Setting]) -> int:
    return sum(_kind(copy.settings.get(n)) == _kind(s) for n, s in believed.items())


def _kind(setting: Setting | None) -> tuple[object, ...]:
    """What two readings of one setting have to share; a clock may run on."""
    if setting is None:
        return ()
    value = "" if setting.volatile else meaning(setting.value)
    return (value, setting.writable, setting.board_owned, setting.volatile)

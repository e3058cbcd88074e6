"""A part of what is wanted: some names left as the board has them, for this once.

What is left counts as a setting that nobody spoke of: it is never written, and it must
not move either.
"""

from collections.abc import Collection
from dataclasses import replace

from benchlink.core.document import nearest
from benchlink.core.intent import Intent
from benchlink.errors import UsageError


def without(intent: Intent, names: Collection[str]) -> Intent:
    """The intent without these names.

    Raises:
        UsageError: it does not ask for one of them.
    """
    _require_asked(intent, names)
    left = frozenset(names)
    return _of(intent, [name for name in intent.wanted if name not in left])


def with_only(intent: Intent, names: Collection[str]) -> Intent:
    """The intent with nothing but these names, in its own order.

    Raises:
        UsageError: it does not ask for one of them.
    """
    _require_asked(intent, names)
    kept = frozenset(names)
    return _of(intent, [name for name in intent.wanted if name in kept])


def _of(intent: Intent, kept: Collection[str]) -> Intent:
    waivers = intent.waivers
    return replace(
        intent,
        wanted={name: intent.wanted[name] for name in kept},
        waivers={name: waivers[name] for name in kept if name in waivers},
    )


def _require_asked(intent: Intent, names: Collection[str]) -> None:
    strange = [n for n in dict.fromkeys(names) if n not in intent.wanted]
    if not strange:
        return
    count = len(strange)
    what = "one of the names" if count == 1 else f"{count} of the names"
    msg = f"{intent.title} does not ask for {what} that you gave"
    raise UsageError(
        msg,
        details=tuple(_meant(name, intent) for name in strange),
        hint="Nothing was written. `benchlink compare --every` shows all that it asks for.",
    )


def _meant(name: str, intent: Intent) -> str:
    near = nearest(name, intent.wanted)
    return f"{name}: is {near} meant?" if near else f"{name}: nothing is called like it"

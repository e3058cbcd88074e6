"""A switch that the board wants on before it takes another setting.

Only while everything is put back: a neighbour that moved by itself may be one that this
board refuses as long as its switch is off. The refusal names the switch; it is put on,
and goes off again with the rest.
"""

import re
from collections.abc import Iterable, Mapping

from benchlink.console.grammar import Grammar
from benchlink.core.exchange import Verdict
from benchlink.core.plan import Moves
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.utterance import Reply
from benchlink.core.values import Switch


def named_switch(
    off: Iterable[str],
    said: Mapping[str, Reply],
    now: Snapshot,
    wanted: Iterable[str],
    grammar: Grammar,
) -> str | None:
    """The one switch, off now, that a refusal of one of these names; None for no such.

    It has to be among the `wanted` ones, or nobody would put it off again, and it must
    move nothing.
    """
    known = frozenset(wanted)
    refusals = [
        said[name].remark
        for name in off
        if name in said and said[name].verdict is Verdict.REFUSED
    ]
    found = {
        setting.name
        for setting in now.settings.values()
        if setting.name in known
        and _is_off(setting)
        and grammar.moves_with(setting, now) is Moves.NOTHING
        and any(_names(remark, setting.name) for remark in refusals)
    }
    return found.pop() if len(found) == 1 else None


def _is_off(setting: Setting) -> bool:
    return (
        setting.writable and isinstance(setting.value, Switch) and not setting.value.on
    )


def _names(remark: str, name: str) -> bool:
    """Whether the words hold this very name, not one that only begins like it."""
    return re.search(rf"(?<![\w./-]){re.escape(name)}(?![\w/-])", remark) is not None

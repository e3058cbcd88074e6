"""Whether a listed value can be written back so that the board reads it as it was."""

from dataclasses import dataclass

from benchlink.console.grammar import Grammar
from benchlink.core.settings import Setting, Snapshot
from benchlink.errors import BenchError


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundTrip:
    """One setting: as it was listed, and the lines that would write the same value."""

    setting: Setting
    lines: tuple[str, ...] = ()
    why_not: str = ""
    """Why it cannot be written back; empty where it can, or must not be."""

    @property
    def proven(self) -> bool:
        """Whether what would be written reads as what was listed."""
        return bool(self.lines)


def round_trip(grammar: Grammar, setting: Setting, snapshot: Snapshot) -> RoundTrip:
    """List value, line that writes it, and back by the codec of that line.

    Writing checks the way back itself: a codec refuses what it would read otherwise.
    """
    if not setting.writable or setting.volatile:
        return RoundTrip(setting=setting)
    try:
        (said,) = grammar.writes({setting.name: setting.value}, snapshot)
    except (ValueError, BenchError) as exc:
        return RoundTrip(setting=setting, why_not=str(exc))
    return RoundTrip(setting=setting, lines=tuple(c.line for c in said.commands))

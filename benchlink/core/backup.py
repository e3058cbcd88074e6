"""A copy of what was on a board, with everything needed to believe it later."""

from dataclasses import dataclass
from datetime import datetime

from benchlink.core.identity import Identity
from benchlink.core.settings import Snapshot
from benchlink.core.stray import has_stray


@dataclass(frozen=True, slots=True, kw_only=True)
class Backup:
    """One board at one moment."""

    taken_at: datetime
    """With its offset from UTC."""
    tool_version: str
    identity: Identity
    snapshot: Snapshot
    """Without settings when only the bytes were kept (`command` tells which)."""
    console: str
    """Name of the description that read it; empty for a raw copy."""
    console_hash: str
    command: str
    """The line that made the board list."""
    note: str = ""

    @property
    def full(self) -> bool:
        """Whether this copy can be put back: it is all understood, and all text."""
        return bool(self.snapshot.settings) and not self.lacking

    @property
    def left_out(self) -> tuple[str, ...]:
        """Settings that no line can write back: they hold bytes that are no text."""
        return tuple(
            setting.name
            for setting in self.snapshot.settings.values()
            if setting.writable
            and not setting.volatile
            and (has_stray(setting.raw) or has_stray(setting.name))
        )

    @property
    def lacking(self) -> str:
        """What of it cannot be put back, counted; empty where nothing is."""
        missed, lost = len(self.snapshot.not_understood), len(self.left_out)
        lines = "line was" if missed == 1 else "lines were"
        values = "value is" if lost == 1 else "values are"
        return ", ".join(
            words
            for count, words in (
                (missed, f"{missed} {lines} not understood"),
                (lost, f"{lost} {values} no text and cannot be put back"),
            )
            if count
        )

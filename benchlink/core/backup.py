"""A copy of what was on a board, with everything needed to believe it later."""

from dataclasses import dataclass
from datetime import datetime

from benchlink.core.identity import Identity
from benchlink.core.settings import Snapshot


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
        """Whether this copy can be put back: every line of it was understood."""
        return bool(self.snapshot.settings) and self.snapshot.complete

"""What the values page shows, made on the work thread."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from benchlink.core.doors import LinkHealth
    from benchlink.core.intent import Intent
    from benchlink.errors import BenchError
    from benchlink.faces.screen.threads.rows import Row
    from benchlink.workflows.session import Session


@dataclass(frozen=True, slots=True, kw_only=True)
class Standard:
    """What a board is held against, and what to name to `apply` for the same."""

    intent: "Intent"
    profile: str = ""
    """Empty where the aircraft's own layers are meant."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ValuesFacts:
    """The board's settings at one moment, and all that they are held against."""

    rows: "tuple[Row, ...]"
    session: "Session"
    """As it answered right before the reading."""
    health: "LinkHealth"
    compared: bool
    """Whether there is anything to hold it against."""
    title: str = ""
    source: str = ""
    """Of what it is held against."""
    profile: str = ""
    """What to name to `apply`; empty where the aircraft's own layers are meant."""
    tail: str = ""
    """Of the aircraft; empty where nobody has said whose board it is."""
    trouble: "BenchError | None" = None
    """Why there is nothing to hold it against."""
    copied: str = ""
    """When the copy beside it was taken; empty where there is none."""
    gone: int = 0
    """Settings of that copy which the board has no more and nobody asks for."""
    left: tuple[str, ...] = ()
    """What was left unfinished, a sentence each."""
    unfinished: bool = False
    """Whether a change or a bench setting has to be seen to first."""

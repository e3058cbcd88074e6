"""What a description tells of hazards: how the console takes lines, and which act."""

from dataclasses import dataclass
from enum import Enum

from benchlink.console.template import Template
from benchlink.core.hazard import Hazard
from benchlink.errors import Place


class LineKind(Enum):
    """How a line falls into commands."""

    PLAIN = "plain"
    """One command, or several with a separator between them."""
    MESSAGE = "ieee-488.2"
    """A program message: `;` outside strings, control characters are blanks, a header
    goes on where the one before ended, words have a short form (SCPI-1999, 6.2)."""
    COMMAND_LINE = "itu-t-v.250"
    """`AT` and a body: basic commands side by side, extended ones up to a `;`, blanks
    and case without meaning outside quotes, `A/` repeats (V.250, 5.2 to 5.4)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """Lines and settings with one hazard."""

    what: Hazard
    lines: tuple[Template, ...] = ()
    settings: tuple[str, ...] = ()
    """Patterns of names whose writing has it."""
    alone_last: bool = False
    """Whether they may be written alone, after everything else."""
    why: str = ""
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class HazardRules:
    """`hazards:` of a description."""

    kind: LineKind = LineKind.PLAIN
    ignores_case: bool = False
    shortest: int = 0
    """Letters that are left of a word cut short; 0 where words cannot be."""
    separator: str = ""
    comment: str = ""
    """What follows it counts for nothing."""
    expands: str = ""
    """Characters for which the console puts in something else."""
    repeats: tuple[str, ...] = ()
    """Texts that do the last line again; the empty one is an empty line."""
    harmless: tuple[Template, ...] = ()
    """Lines beside those of the verbs that only tell something."""
    held: tuple[Held, ...] = ()
    place: Place

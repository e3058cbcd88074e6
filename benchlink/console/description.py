"""A board's console as data: what to send, and how to read what comes back."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Final

from benchlink.console.codec import Codec
from benchlink.console.template import Template
from benchlink.console.window import UNDECLARED_BYTES
from benchlink.core.plan import Moves
from benchlink.units import Seconds

PATIENCE: Final = Seconds(3.0)
BACK_WITHIN: Final = Seconds(10.0)
ANSWER_WITHIN: Final = Seconds(1.0)


class LineEnd(Enum):
    """What ends a line sent to the board."""

    CR = b"\r"
    LF = b"\n"
    CRLF = b"\r\n"


class Wake(Enum):
    """What makes the board show its prompt."""

    ABANDON = "the abandon byte"
    LINE_END = "a line end alone"
    NOTHING = "nothing is sent; the board says its prompt by itself"


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """How to hold a conversation: all that the wire side needs to know."""

    prompt: str
    """Stands at the start of a line when the board waits for a command."""
    ok: tuple[Template, ...]
    noted: tuple[Template, ...] = ()
    refused: tuple[Template, ...] = ()
    line_end: LineEnd = LineEnd.CR
    longest_line: int = 80
    """Characters of a command line, its end not counted."""
    abandon: bytes = b""
    """One byte that drops a line begun and gives a new prompt; empty when unknown."""
    wake: Wake = Wake.LINE_END
    patience: Seconds = PATIENCE
    """How long the board may take to show its first prompt."""
    banner: tuple[Template, ...] = ()
    """Lines that only a board which has just started says: they prove a restart."""
    back_within: Seconds = BACK_WITHIN
    """How long a restart may take, until the prompt stands again."""
    window_bytes: int = UNDECLARED_BYTES


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedLine:
    """One form that a setting takes in the listing."""

    template: Template
    writable: bool = True
    board_owned: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Verb:
    """One thing that the console can be told, and the lines it answers with."""

    line: Template
    gives: tuple[Template, ...] = ()
    answer_within: Seconds = ANSWER_WITHIN
    alone: bool = False
    moves: Moves = Moves.NOTHING


@dataclass(frozen=True, slots=True, kw_only=True)
class Outputs:
    """Which word of the readiness answer tells whether outputs may move."""

    live: str
    resting: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MovingSettings:
    """Settings whose writing may make something move."""

    names: tuple[str, ...]
    what: Moves


@dataclass(frozen=True, slots=True, kw_only=True)
class Description:
    """Everything benchlink knows of one kind of console."""

    name: str
    title: str
    manner: Manner
    codec: Codec
    listed: tuple[ListedLine, ...]
    verbs: Mapping[str, Verb]
    board_types: tuple[str, ...] = ()
    outputs: Outputs | None = None
    volatile: tuple[str, ...] = ()
    moving: tuple[MovingSettings, ...] = field(default=())

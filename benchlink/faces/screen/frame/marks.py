"""How a setting's state is told: by a shape and a word, the style only helps."""

from dataclasses import dataclass
from enum import Enum
from typing import Final


@dataclass(frozen=True, slots=True)
class Look:
    """What a mark looks like."""

    shape: str
    word: str
    meaning: str
    style: str = ""
    """An attribute or a colour of the terminal's own palette."""


class Mark(Enum):
    """How a row stands, most pressing first."""

    DIFFERS = Look(
        "<>",
        "differs",
        "the board holds another value than the profile asks for",
        "bold magenta",
    )
    MISSING = Look(
        "[]",
        "missing",
        "the profile asks for it, the board does not have it",
        "bold red",
    )
    IMPOSSIBLE = Look(
        "!!", "impossible", "the value asked for cannot be written there", "bold red"
    )
    WAIVED = Look("~~", "waived", "differs, and somebody accepted that with a reason")
    AS_INTENDED = Look("==", "as intended", "the board holds what the profile asks for")
    LEFT_ALONE = Look("..", "left alone", "no profile speaks of it", "dim")
    STRANGE = Look(
        "??",
        "not understood",
        "a listed line that the description does not know",
        "bold red",
    )


MARKS: Final = tuple(Mark)

NOTHING: Final = "-"
"""Stands where there is no value."""

"""The marks that the help explains, and what they mean."""

from typing import Final

APPLY: Final = "apply"
LEAVE: Final = "leave"
BLOCK: Final = "block"

MEANINGS: Final = (
    (APPLY, "it differs, and applying writes it"),
    (LEAVE, "applying leaves it as the board has it"),
    (BLOCK, "it cannot be written: leave or waive it, or nothing is applied"),
)
"""The words for marks, and what they mean."""

DOUBT, MEAN = "\N{MEDIUM SHADE}", "\N{FULL BLOCK}"
NOW, BEFORE = "V", "v"
WANTED, OPEN, SHUT, STOP, PART_END = "^", "[", "]", "#", "|"
INSIDE, OUTSIDE, TICK = "-", ".", "+"

LEGEND: Final = (
    (NOW, "the jig shows"),
    (BEFORE, "it showed, at another pulse"),
    (f"{DOUBT}{MEAN}{DOUBT}", "where all readings say it stands, 19 times of 20"),
    (WANTED, "wanted"),
    (f"{OPEN} {SHUT}", "pulses allowed"),
    (PART_END, "the servo's end"),
    (STOP, "a stop"),
)
"""The marks of an arm on its line, and what they mean."""

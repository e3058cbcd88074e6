"""One field of a reading: which quantity it holds, and how the console counts it."""

import re
from dataclasses import dataclass, field
from typing import Final

from benchlink.core.readings import MEASURES, Quantity, Unit
from benchlink.errors import BoardError

NUMERAL: Final = re.compile(
    r"[+-]?([0-9]{1,20}\.?[0-9]{0,20}|\.[0-9]{1,20})([eE][+-]?[0-9]{1,2})?", re.ASCII
)
"""Decimal numeric forms (NRf of IEEE 488.2, 7.7.2), of a bounded length."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauge:
    """How the text of a field becomes a value in our unit and sign."""

    quantity: Quantity
    unit: Unit = field(default_factory=Unit)
    scale: float = 1.0
    """What one of the console's numbers is in the unit."""
    reversed: bool = False
    """Whether the console's positive is our negative."""
    index: str = ""
    """The field of the same line that holds which one it is."""
    first: int = 1
    """What the console calls the first one."""
    number: int = 0
    """Which one it always is; 0 where the index or the order tells."""
    split: str = ""
    """Cuts the text into several values, the first of them number 1."""

    def of(self, text: str) -> float:
        """A value.

        Raises:
            BoardError: it is no number, or none that this quantity can have.
        """
        if not NUMERAL.fullmatch(text.strip()):
            msg = f"{text!r} is no number for {self.quantity.value}"
            raise BoardError(msg)
        value = self.unit.ours(float(text) * self.scale)
        value = -value if self.reversed and value else value
        measure = MEASURES[self.quantity]
        if not measure.least <= value <= measure.most:
            msg = (
                f"{text!r} cannot be the {self.quantity.value}: that would be"
                f" {value:g} {measure.unit}"
            )
            raise BoardError(
                msg, hint="Damaged, or `unit:`, `scale:` or the field is another."
            )
        return value

    def which(self, text: str) -> int:
        """Our number of the one that the console calls so.

        Raises:
            BoardError: it does not count so.
        """
        if text.isascii() and text.isdigit() and int(text) >= self.first:
            return int(text) - self.first + 1
        msg = f"{text!r} does not tell which {self.quantity.value} it is"
        raise BoardError(msg)

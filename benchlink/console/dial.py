"""One field of a live verb: from a pulse, a power or a time to what the line says."""

import math
from dataclasses import dataclass
from decimal import ROUND_DOWN, ROUND_HALF_EVEN, Decimal
from typing import Final

PULSE_UNITS: Final = {"us": Decimal(1), "ms": Decimal(1000), "s": Decimal(1_000_000)}
"""What each is in us."""
POWER_UNITS: Final = {
    "fraction": Decimal(1),
    "percent": Decimal("0.01"),
    "permille": Decimal("0.001"),
}
"""What each is as a fraction of full power."""
TIME_UNITS: Final = {"s": Decimal(1), "ms": Decimal("0.001")}
"""What each is in seconds."""
MOST_PLACES: Final = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Dial:
    """How one field of a line is counted, and how far it may go."""

    unit: Decimal
    """What one of the unit is in ours: us, fraction of full power, seconds."""
    scale: Decimal = Decimal(1)
    """What one of the console's numbers is in the unit."""
    least: Decimal
    most: Decimal
    """Limits, both allowed, as the console counts."""
    places: int = 0
    """Digits behind the point."""
    down: bool = True
    """Whether what falls between two steps gets the lower one: never more power nor
    time than was asked for."""

    def of(self, value: float) -> str:
        """What the line says for a value in our unit.

        Raises:
            ValueError: it is beyond what the description declares.
        """
        if not math.isfinite(value):
            msg = f"{value} is no quantity"
            raise ValueError(msg)
        asked = Decimal(repr(value)) / (self.unit * self.scale)
        self._require_within(asked)
        rounding = ROUND_DOWN if self.down else ROUND_HALF_EVEN
        said = round_to(asked, self.places, rounding)
        self._require_within(said)
        return format(said, "f")

    def ours(self, number: Decimal) -> float:
        """What a number of the console's is in our unit."""
        return float(number * self.scale * self.unit)

    def _require_within(self, number: Decimal) -> None:
        if not self.least <= number <= self.most:
            msg = (
                f"{float(number):g} is beyond what the console may be told:"
                f" {self.least:f} to {self.most:f}"
            )
            raise ValueError(msg)


def round_to(number: Decimal, places: int, rounding: str) -> Decimal:
    """A number with so many digits behind the point; never a negative zero."""
    # Adding zero turns a negative zero into a plain one.
    return number.quantize(Decimal(1).scaleb(-places), rounding=rounding) + 0

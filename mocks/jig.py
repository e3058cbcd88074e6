"""The angle gauge on a tilt arm, and the person who reads it.

The datum of the sheet: 0 is the arm upright, square to the body; fore is towards the
nose, aft towards the tail.
"""

from dataclasses import dataclass
from random import Random
from typing import Final, final

SIGMA_DEG: Final = 0.25


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What a person reads."""

    deg: float
    """Above 0 is fore."""

    @property
    def way(self) -> str:
        """To which side the arm stands."""
        return "fore" if self.deg >= 0 else "aft"

    @property
    def words(self) -> str:
        """As a person says it."""
        return f"{abs(self.deg):.4g} {self.way}"


@final
class Jig:
    """A gauge whose reader is off by a little, the same way for the same seed."""

    def __init__(self, seed: int) -> None:
        self.sigma_deg = SIGMA_DEG
        self.step_deg = 0.1
        """The person rounds to this; 0 for as many digits as there are."""
        self._random = Random(f"jig {seed}")

    def read(self, true_deg: float) -> Seen:
        """Read the gauge once."""
        deg = true_deg + self._random.gauss(0.0, self.sigma_deg)
        if self.step_deg:
            deg = round(round(deg / self.step_deg) * self.step_deg, 6)
        # adding zero turns a negative zero into a plain one
        return Seen(deg=deg + 0.0)

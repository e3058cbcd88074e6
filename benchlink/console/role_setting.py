"""Which settings of a console have which role, and how each is counted."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import ROUND_HALF_EVEN, Decimal

from benchlink.core.roles import Direction, Ends, Role
from benchlink.core.values import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class RoleSetting:
    """The setting that holds a role."""

    setting: str
    unit: Decimal = Decimal(1)
    """What one of the unit is in ours: us, deg, Hz."""
    scale: Decimal = Decimal(1)
    """What one of the console's numbers is in the unit."""
    step: Decimal = Decimal(1)
    """The smallest change that the console takes, as it counts."""
    directions: Mapping[Direction, Value] = field(default_factory=dict)
    """What stands for each direction; empty where it holds none."""

    def ours(self, number: Decimal) -> float:
        """A number of the console's in our unit."""
        return float(number * self.scale * self.unit)

    def counted(self, number: float) -> Decimal:
        """What the console holds for a number of ours, at the nearest of its steps."""
        steps = Decimal(repr(number)) / (self.unit * self.scale * self.step)
        whole = steps.quantize(Decimal(1), rounding=ROUND_HALF_EVEN)
        # Adding zero turns a negative zero into a plain one.
        return whole * self.step + 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Roles:
    """All roles that a description gives away."""

    settings: Mapping[Role, RoleSetting] = field(default_factory=dict)
    ends: Ends = Ends.FROM_CENTRE
    """Means nothing where no end has a setting."""

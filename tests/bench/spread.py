"""Middle and tail of many measured times."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from statistics import median

from tests.bench.rows import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Of `count` values, in the unit of the values."""

    count: int
    p50: float
    p99: float
    worst: float

    def text(self, unit: Unit) -> str:
        """In one cell of the report."""
        return (
            f"p50 {unit.text(self.p50)}, p99 {unit.text(self.p99)},"
            f" worst {unit.text(self.worst)}, n={self.count}"
        )


def spread(values: Sequence[float]) -> Spread:
    """The nearest-rank percentiles; at least one value."""
    ordered = sorted(values)
    return Spread(
        count=len(ordered),
        p50=median(ordered),
        p99=ordered[ceil(0.99 * len(ordered)) - 1],
        worst=ordered[-1],
    )

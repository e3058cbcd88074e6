"""A normal distribution over a few unknowns, sharpened by one reading after another.

The Bayesian straight line of any statistics text, in the form that takes one reading
at a time: with gain `K = C h / (h'C h + s^2)`, mean `m + K (y - h'm)`, covariance
`C - K h'C`. It works from the first reading on, where least squares still has no slope.
"""

import math
from dataclasses import dataclass, replace

Vector = tuple[float, ...]
Matrix = tuple[Vector, ...]


def dot(left: Vector, right: Vector) -> float:
    """Sum of the products, place by place."""
    return sum(a * b for a, b in zip(left, right, strict=True))


@dataclass(frozen=True, slots=True, kw_only=True)
class Belief:
    """Mean and covariance of the unknowns."""

    mean: Vector
    covariance: Matrix

    @classmethod
    def independent(cls, mean: Vector, spread: Vector) -> "Belief":
        """Unknowns that tell nothing of each other; `spread` in standard deviations."""
        size = range(len(mean))
        rows = (tuple(spread[i] ** 2 if i == j else 0.0 for j in size) for i in size)
        return cls(mean=mean, covariance=tuple(rows))

    def expected(self, weights: Vector) -> tuple[float, float]:
        """Mean and variance of the weighted sum of the unknowns."""
        product = tuple(dot(row, weights) for row in self.covariance)
        return dot(self.mean, weights), max(0.0, dot(product, weights))

    def observed(self, weights: Vector, seen: float, variance: float) -> "Belief":
        """After the weighted sum was seen with noise of this variance."""
        product = tuple(dot(row, weights) for row in self.covariance)
        total = dot(product, weights) + variance
        off = seen - dot(self.mean, weights)
        return Belief(
            mean=tuple(
                m + p * off / total for m, p in zip(self.mean, product, strict=True)
            ),
            covariance=tuple(
                tuple(c - p * q / total for c, q in zip(row, product, strict=True))
                for row, p in zip(self.covariance, product, strict=True)
            ),
        )

    def log_likelihood(self, weights: Vector, seen: float, variance: float) -> float:
        """How well this belief foretold what was seen (natural logarithm)."""
        mean, own = self.expected(weights)
        total = own + variance
        return -0.5 * ((seen - mean) ** 2 / total + math.log(2 * math.pi * total))

    def shifted(self, place: int, by: float, variance: float) -> "Belief":
        """After one unknown was changed by about `by`."""
        mean = tuple(m + by if i == place else m for i, m in enumerate(self.mean))
        rows = tuple(
            tuple(c + variance if i == j == place else c for j, c in enumerate(row))
            for i, row in enumerate(self.covariance)
        )
        return replace(self, mean=mean, covariance=rows)

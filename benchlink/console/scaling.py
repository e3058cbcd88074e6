"""Numbers in another unit, exactly or not at all.

A scale may be a ratio (1/60), whose products mostly have no end as decimals: such a
number is told by nobody, and never rounded.
"""

from decimal import Context, Decimal
from fractions import Fraction
from typing import Final

from benchlink.core.values import decimal_or_none

EXACT: Final = Context(prec=200_000)
"""More digits than a line can hold: nothing that a board says is ever rounded."""
LONGEST: Final = 9
"""Digits of each part of a ratio."""
ENDING: Final = (2, 5)
"""Dividing by these alone gives decimals that end."""

Scale = Decimal | Fraction


def scale_or_none(text: str) -> Scale | None:
    """A number above 0, or a ratio of two whole ones (`1/60`)."""
    over, bar, under = text.partition("/")
    if bar:
        parts = (over, under)
        plain = all(p.isdigit() and p.isascii() and len(p) <= LONGEST for p in parts)
        return (
            Fraction(int(over), int(under)) if plain and all(map(int, parts)) else None
        )
    number = decimal_or_none(text)
    return number if number is not None and number > 0 else None


def times(number: Decimal, scale: Scale) -> Decimal | None:
    """A number of the console in our unit; None where that has no end."""
    if isinstance(scale, Decimal):
        return EXACT.multiply(number, scale)
    return _product(number, scale)


def over(number: Decimal, scale: Scale) -> Decimal | None:
    """A number of ours in the console's unit; None where that has no end."""
    if isinstance(scale, Decimal):
        quotient = number / scale
        if EXACT.multiply(quotient, scale) == number:
            return quotient
    return _product(number, 1 / Fraction(scale))


def exponent_of(number: Decimal) -> int:
    """Where its last digit stands; negative behind the point."""
    exponent = number.as_tuple().exponent
    return exponent if isinstance(exponent, int) else 0


def _product(number: Decimal, ratio: Fraction) -> Decimal | None:
    exponent = exponent_of(number)
    whole = int(number.scaleb(-exponent, EXACT)) * ratio.numerator
    rest, powers = ratio.denominator, dict.fromkeys(ENDING, 0)
    for prime in ENDING:
        while rest % prime == 0:
            rest //= prime
            powers[prime] += 1
    if whole % rest:
        return None
    places = max(powers.values())
    whole = whole // rest * 2 ** (places - powers[2]) * 5 ** (places - powers[5])
    shortest = Decimal(whole).scaleb(exponent - places, EXACT).normalize(EXACT)
    return shortest if exponent_of(shortest) < 0 else Decimal(int(shortest))

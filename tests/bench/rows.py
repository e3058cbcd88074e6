"""One line of the report: what was measured, what it was held against, and how it did."""

from dataclasses import dataclass
from enum import Enum


class Verdict(Enum):
    """How a row did, as a word."""

    MET = "met"
    MISSED = "MISSED"
    SHOWN = "shown"
    """Nothing was promised: it stands beside a row with a target."""
    NOT_MEASURED = "NOT MEASURED"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line of the report, ready to print."""

    what: str
    measured: str
    target: str = ""
    verdict: Verdict = Verdict.SHOWN


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """How a number is written."""

    digits: int
    name: str = ""

    def text(self, value: float) -> str:
        """The number with its unit."""
        return f"{value:.{self.digits}f} {self.name}".rstrip()


SHARE = Unit(digits=3)
"""Of what the wire can carry; 1 is a wire that never rests."""
SECONDS = Unit(digits=2, name="s")
MS = Unit(digits=2, name="ms")
US = Unit(digits=0, name="us")
MIB = Unit(digits=1, name="MiB")
COUNT = Unit(digits=0)
TIMES = Unit(digits=2, name="x")


def shown(what: str, measured: str) -> Row:
    """A row without a target."""
    return Row(what=what, measured=measured)


def at_least(
    what: str, value: float, target: float, unit: Unit, *, beside: str = ""
) -> Row:
    """Held against a floor; a value that is no number misses it."""
    return _judged(
        what, unit.text(value) + beside, f">= {unit.text(target)}", met=value >= target
    )


def at_most(
    what: str, value: float, target: float, unit: Unit, *, beside: str = ""
) -> Row:
    """Held against a ceiling; a value that is no number misses it."""
    return _judged(
        what, unit.text(value) + beside, f"<= {unit.text(target)}", met=value <= target
    )


def not_measured(what: str, why: str) -> Row:
    """What could not be measured counts as a miss."""
    return Row(what=what, measured=why, verdict=Verdict.NOT_MEASURED)


def _judged(what: str, measured: str, target: str, *, met: bool) -> Row:
    verdict = Verdict.MET if met else Verdict.MISSED
    return Row(what=what, measured=measured, target=target, verdict=verdict)

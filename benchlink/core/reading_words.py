"""A reading of the jig as a person writes it: a number, and a word for its way.

`7,5 aft`, `forward 7.5°`, `7 1/2 deg aft` and `7½` are all taken; what was understood
is echoed by `angle_words`. A bare sign is never believed: minus means one thing on
this jig and another on that. A number without a word is taken only when just one of
its two meanings fits what is expected there.
"""

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import Final

from benchlink.core.angles import Degrees, Estimate, Way, angle_words, leaning

LARGEST_DEG: Final = 90.0
"""A tilt arm that leans further lies under the wing."""

PLAUSIBLE_SDS: Final = 4.0
"""One honest reading in 16,000 is further off (normal distribution)."""

PLAUSIBLE_DEG: Final = 1.0
"""A reading this close to what is expected is never doubted."""

WAYS: Final = {
    "forward": Way.FORWARD,
    "forwards": Way.FORWARD,
    "fore": Way.FORWARD,
    "f": Way.FORWARD,
    "aft": Way.AFT,
    "back": Way.AFT,
    "backward": Way.AFT,
    "backwards": Way.AFT,
    "a": Way.AFT,
}
UNITS: Final = frozenset({"°", "deg", "degs", "degree", "degrees"})
NOUGHT: Final = frozenset({"zero", "nought", "upright"})

_SIGNS: Final = {"\N{MINUS SIGN}": "-", "\N{EN DASH}": "-", "\N{FRACTION SLASH}": "/"}
_LONGEST: Final = 40
_TOKEN: Final = re.compile(
    r"\s*([+-]|\d+\s+\d+/\d+|\d+/\d+|\d+[.,]\d+|[.,]\d+|\d+[.,]?|[a-z]+\.?|°)"
)


class Doubt(Enum):
    """Why a reading is asked again."""

    NO_NUMBER = "no number was understood"
    WAY = "forward or aft?"
    TOO_LARGE = "a tilt arm does not lean that far"
    UNEXPECTED = "that is far from what was expected"


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """A reading that was understood."""

    angle_deg: Degrees

    def __str__(self) -> str:
        return angle_words(self.angle_deg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubtful:
    """A reading that has to be asked about before it is used."""

    doubt: Doubt
    question: str
    size_deg: float | None = None
    """The number without its way, where there is one."""


def read_words(text: str, expected: Estimate | None = None) -> Heard | Doubtful:
    """What a person wrote, or what to ask back.

    `expected` is what the arm should show there, reader's noise included.
    """
    parts = _parts(text)
    if parts is None:
        return _not_understood()
    size_deg, sign, way = parts
    if size_deg > LARGEST_DEG:
        question = f"{size_deg:g} deg: {Doubt.TOO_LARGE.value}. What does the jig show?"
        return Doubtful(doubt=Doubt.TOO_LARGE, question=question, size_deg=size_deg)
    if size_deg == 0:
        return Heard(angle_deg=Degrees(0.0))
    if way is not None and not sign:
        return Heard(angle_deg=leaning(size_deg, way))
    meant = None if sign else _only_fitting(size_deg, expected)
    if meant is not None:
        return Heard(angle_deg=meant)
    question = f"{size_deg:g} deg {Doubt.WAY.value}"
    return Doubtful(doubt=Doubt.WAY, question=question, size_deg=size_deg)


def asked_back(doubtful: Doubtful, ask: Callable[[str], str]) -> Heard | Doubtful:
    """What comes of asking once more: for the way alone where only that is missing."""
    return answered(doubtful, ask(f"{doubtful.question} "))


def answered(
    doubtful: Doubtful, typed: str, expected: Estimate | None = None
) -> Heard | Doubtful:
    """What comes of an answer to its question: the way that was asked for, or a reading."""
    way, size_deg = way_words(typed), doubtful.size_deg
    if doubtful.doubt is Doubt.WAY and way is not None and size_deg is not None:
        return Heard(angle_deg=leaning(size_deg, way))
    return read_words(typed, expected)


def way_words(text: str) -> Way | None:
    """The answer to "forward or aft?"; None where it is neither."""
    return WAYS.get(text.strip().casefold().rstrip("."))


def plausible(angle_deg: float, expected: Estimate) -> bool:
    """Whether a reading is near enough to what was expected to go unasked."""
    off_deg = abs(angle_deg - expected.mean_deg)
    return off_deg <= max(PLAUSIBLE_DEG, PLAUSIBLE_SDS * expected.sd_deg)


def unexpected(angle_deg: Degrees, expected: Estimate) -> Doubtful:
    """The question about a reading that is far off; names the other way if it fits."""
    seen, instead = angle_words(angle_deg), angle_words(expected.mean_deg)
    question = (
        f"You wrote {seen}; about {instead} was expected. What does the jig show?"
    )
    if plausible(-angle_deg, expected):
        question = f"{abs(angle_deg):g} deg {Doubt.WAY.value} {instead} was expected."
        return Doubtful(doubt=Doubt.WAY, question=question, size_deg=abs(angle_deg))
    return Doubtful(doubt=Doubt.UNEXPECTED, question=question, size_deg=abs(angle_deg))


def _only_fitting(size_deg: float, expected: Estimate | None) -> Degrees | None:
    if expected is None:
        return None
    both = [leaning(size_deg, way) for way in Way]
    fitting = [angle for angle in both if plausible(angle, expected)]
    return fitting[0] if len(fitting) == 1 else None


def _not_understood() -> Doubtful:
    question = "Write the angle and its way, such as 7.5 aft or 7.5 forward."
    return Doubtful(doubt=Doubt.NO_NUMBER, question=question)


def _parts(text: str) -> tuple[float, str, Way | None] | None:
    """Size, sign and way; None where a piece is missing, twice there or not known."""
    tokens = _tokens(text)
    numbers = [t for t in tokens or () if t[-1].isdigit() or t in NOUGHT]
    words = [t.rstrip(".") for t in tokens or () if t.isalpha() or t.endswith(".")]
    ways = [WAYS[word] for word in words if word in WAYS]
    signs = [t for t in tokens or () if t in {"+", "-"}]
    known = WAYS.keys() | UNITS | NOUGHT
    if tokens is None or any(word not in known for word in words):
        return None
    if len(numbers) != 1 or len(ways) > 1 or not _sign_leads(tokens, signs):
        return None
    size = 0.0 if numbers[0] in NOUGHT else _number(numbers[0])
    return None if size is None else (size, "".join(signs), ways[0] if ways else None)


def _sign_leads(tokens: list[str], signs: list[str]) -> bool:
    """No sign at all, or one that stands right before the number."""
    if not signs:
        return True
    after = tokens[tokens.index(signs[0]) + 1 :]
    return len(signs) == 1 and bool(after) and after[0][-1].isdigit()


def _tokens(text: str) -> list[str] | None:
    if len(text) > _LONGEST:
        return None
    spaced = "".join(f" {c}" if _is_vulgar(c) else c for c in text)
    plain = unicodedata.normalize("NFKC", spaced).casefold()
    plain = "".join(_SIGNS.get(c, c) for c in plain).strip()
    found, at = [], 0
    while at < len(plain):
        match = _TOKEN.match(plain, at)
        if match is None:
            return None
        found.append(match[1].rstrip(".,") if match[1][0].isdigit() else match[1])
        at = match.end()
    return found


def _is_vulgar(character: str) -> bool:
    """A fraction in one character, which follows its whole number without a blank."""
    return unicodedata.category(character) == "No"


def _number(text: str) -> float | None:
    try:
        return float(sum(Fraction(part.replace(",", ".")) for part in text.split()))
    except ZeroDivisionError:
        return None

"""What a person says of a hover, as they write it: `drifts forward 0,5 and noses left`.

A size is degrees of tilt, with a point or a comma, and never has a sign: the word tells
the way. Whatever is not understood is refused, never guessed.
"""

import re
from dataclasses import dataclass
from typing import Final

from benchlink.core.trim import STEP_DEG, Lean, Wandering, cure
from benchlink.errors import UsageError

_WORDS: Final = {wandering.value: wandering for wandering in Wandering}
_SEEN: Final = re.compile(
    r"(?P<seen>[a-z]+ [a-z]+)"
    r"(?: (?P<size>[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+) ?(?:deg|degrees|°)?)?"
)
_AND: Final = " and "
_HINT: Final = (
    "Nothing was sent. Write what it does, and how many degrees of tilt to give for it:"
    " drifts forward 0.5, drifts aft, noses left 0,5, noses right; two of them with"
    " `and` between."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """One thing that the aircraft does."""

    wandering: Wandering
    size_deg: float
    told: bool
    """Whether somebody said how much; the usual step otherwise."""

    @property
    def lean(self) -> Lean:
        """What answers it."""
        return cure(self.wandering, self.size_deg)

    def __str__(self) -> str:
        return f"{self.wandering.value} {self.size_deg:g} deg"


def seen_words(text: str) -> tuple[Seen, ...]:
    """What was seen: a drift, a wandering nose, or one of each.

    Raises:
        UsageError: a word or a number in it is not understood, or it contradicts itself.
    """
    plain = " ".join(text.casefold().split())
    seen = tuple(_seen(part) for part in plain.split(_AND))
    kinds = [one.wandering.value.split()[0] for one in seen]
    if len(set(kinds)) < len(kinds):
        msg = f"{text!r} says twice which way it {kinds[0]}"
        raise UsageError(msg, hint=_HINT)
    return seen


def lean_of(seen: tuple[Seen, ...]) -> Lean:
    """What answers all of it at once."""
    lean = Lean()
    for one in seen:
        lean = lean.plus(one.lean)
    return lean


def _seen(part: str) -> Seen:
    match = _SEEN.fullmatch(part)
    if match is None or match["seen"] not in _WORDS:
        msg = f"{part!r} is not understood"
        raise UsageError(msg, hint=_HINT)
    size = match["size"]
    size_deg = float(size.replace(",", ".")) if size else STEP_DEG
    if size_deg == 0:
        msg = f"{part!r} would change nothing"
        raise UsageError(msg, hint=_HINT)
    return Seen(
        wandering=_WORDS[match["seen"]], size_deg=size_deg, told=size is not None
    )

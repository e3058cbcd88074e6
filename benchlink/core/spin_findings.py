"""What is wrong with a pair of motors by what was seen, and the trade's remedies.

Outputs come first: as long as the wrong motor turns, which way it turns is seen, and
told, but nothing is turned round for it before that is mended. Swapping any two of a motor's three leads reverses it; which two does
not matter.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from benchlink.core.roles import OwnSide
from benchlink.core.spin_answers import (
    Answer,
    Hand,
    SpinCheck,
    Turned,
    Turning,
    hand_seen,
    wanted_turning,
)

LEADS: Final = "swap any two of its three motor leads"
_DEAD: Final = (
    "is the pack in? On USB alone an ESC is dead",
    "is the ESC's signal lead on the pad of the output map, and the right way round?",
    (
        "an ESC that beeps has power and hears no signal; some want a low signal first:"
        " set the pulse that the output gives at rest"
    ),
)
_JOINED: Final = (
    "both ESCs hang on one signal: a Y-lead, a bridge of solder, or one timer channel"
    " brought out twice"
)
_SERVO: Final = (
    "a servo hangs on a motor's pad: pack out, then put the plugs as the output map"
    " says; do not spin before that"
)
_SEEN: Final[Mapping[Turned, tuple[str, tuple[str, ...]]]] = {
    Turned.NOTHING: ("nothing turned", _DEAD),
    Turned.BOTH: ("both turned", (_JOINED,)),
    Turned.TILT: ("a tilt arm moved", (_SERVO,)),
}
"""What turned instead of the one motor, and the remedies."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that is not right, as a sentence, and what to do about it."""

    text: str
    remedies: tuple[str, ...]


Settings = Mapping[OwnSide, str]
"""The setting that turns a motor round, where the description tells one."""


def findings(
    check: SpinCheck, direction_settings: Settings | None = None
) -> tuple[Finding, ...]:
    """All that is not right; nothing where all is well as far as it was looked at."""
    answers = {answer.ordered: answer for answer in check.answers}
    wiring, settings = _which(answers), direction_settings or {}
    if not wiring:
        return _ways(answers, check.hand, settings)
    if not _swapped(answers):
        return wiring
    turned = {a.turned.side: a for a in answers.values() if a.turned.side}
    return (*wiring, *map(_after_the_swap, _ways(turned, check.hand, settings)))


def verdict(check: SpinCheck, found: Sequence[Finding]) -> str:
    """The outcome in one sentence."""
    seen = {answer.ordered: answer for answer in check.answers}
    if found:
        return f"Not right yet: {len(found)} to put right, then spin again."
    if not seen:
        return "Nothing was spun, so nothing is known."
    if len(seen) < len(OwnSide):
        only = next(iter(seen)).value
        return (
            f"{only.capitalize()} is as ordered; the other was not spun: no pair yet."
        )
    unseen = [a.ordered.value for a in check.answers if a.turning is None]
    if unseen:
        sides = " and ".join(unseen)
        return f"The right motors turned; which way was not seen: {sides}."
    hands = {hand_seen(f, a.turning).value for f, a in seen.items() if a.turning}
    wanted = ", as the build sheet wants it" if check.hand else ""
    return f"Both motors turn as ordered, a pair that is {hands.pop()}{wanted}."


def complete(check: SpinCheck) -> bool:
    """Whether both motors were seen, and which way."""
    seen = {a.ordered for a in check.answers if a.turning is not None}
    return seen == set(OwnSide)


def _which(answers: Mapping[OwnSide, Answer]) -> tuple[Finding, ...]:
    if _swapped(answers):
        return (
            Finding(
                text="The two motors are swapped: each turned when the other was meant.",
                remedies=(
                    "exchange the two motor leads at the board, pack out",
                    "or exchange the two motor outputs in the board's map",
                ),
            ),
        )
    return tuple(
        _wrong(answer)
        for side, answer in answers.items()
        if answer.turned.side is not side
    )


def _swapped(answers: Mapping[OwnSide, Answer]) -> bool:
    """Whether each turned where the other was meant."""
    crossed = [f for f, a in answers.items() if a.turned.side is f.other]
    return len(crossed) == len(OwnSide)


def _after_the_swap(way: Finding) -> Finding:
    """A second fault, of the motors that truly turned: told now, put right later."""
    again = "mend the swap first and spin again; if it still turns so"
    return Finding(
        text=f"Besides the swap: {way.text[0].lower()}{way.text[1:]}",
        remedies=tuple(f"{again}, {remedy}" for remedy in way.remedies),
    )


def _wrong(answer: Answer) -> Finding:
    meant = f"{answer.ordered.value.capitalize()} was meant"
    if answer.turned in _SEEN:
        what, remedies = _SEEN[answer.turned]
        return Finding(text=f"{meant}, and {what}.", remedies=remedies)
    other = answer.ordered.other.value
    remedy = (
        f"spin {other} as well: if {answer.ordered.value} turns then, the two are"
        " swapped; else both outputs lead to one motor"
    )
    return Finding(text=f"{meant}, and {other} turned.", remedies=(remedy,))


def _ways(
    answers: Mapping[OwnSide, Answer], hand: Hand | None, settings: Settings
) -> tuple[Finding, ...]:
    turning = {f: a.turning for f, a in answers.items() if a.turning is not None}
    if hand is not None:
        return tuple(
            _reversed(side, way, hand, settings)
            for side, way in turning.items()
            if way is not wanted_turning(side, hand)
        )
    if len(turning) < len(OwnSide) or len(set(turning.values())) > 1:
        return ()
    way = turning[OwnSide.LEFT]
    return (
        Finding(
            text=f"Both turn {way.value} seen from above; a pair must turn opposite ways.",
            remedies=tuple(
                f"for {_hand_with(side, way).value}: on the {side.value} one"
                f" {_turn_round(side, settings)}"
                for side in OwnSide
            ),
        ),
    )


def _hand_with(changed: OwnSide, way: Turning) -> Hand:
    """What the pair is once this side is turned round."""
    return hand_seen(changed, way.opposite)


def _reversed(side: OwnSide, way: Turning, hand: Hand, settings: Settings) -> Finding:
    wanted = wanted_turning(side, hand)
    return Finding(
        text=(
            f"{side.value.capitalize()} turns {way.value} seen from above; for"
            f" {hand.value} it must turn {wanted.value}."
        ),
        remedies=(_turn_round(side, settings),),
    )


def _turn_round(side: OwnSide, settings: Settings) -> str:
    name = settings.get(side)
    return f"{LEADS}, pack out; or change `{name}`" if name else f"{LEADS}, pack out"

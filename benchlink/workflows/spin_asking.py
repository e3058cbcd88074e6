"""The questions of the spin check, in the words of the trade."""

from dataclasses import dataclass, replace
from typing import Final

from benchlink.core.roles import OwnSide
from benchlink.core.spin_answers import (
    Answer,
    Hand,
    Turned,
    Turning,
    hand_of,
    what_turned,
    which_way,
)
from benchlink.workflows.spin_bench import SpinBench

UNSEEN: Final = "?"


@dataclass(frozen=True, slots=True)
class _Told:
    """An answer that may be that nobody knows."""

    turning: Turning | None = None
    hand: Hand | None = None


def ask_what_turned(bench: SpinBench, question: str = "What turned?") -> Turned:
    """Which motor, or what else.

    Raises:
        DeclinedError: nobody answered.
    """
    return bench.asks(
        f"{question} left / right / both / nothing / a tilt: ",
        what_turned,
        "Say left, right, both, nothing or a tilt; the aircraft's own, nose away.",
    )


def ask_what_was_seen(
    bench: SpinBench, ordered: Answer, question: str = "What turned?"
) -> Answer:
    """What turned and which way, beside what was ordered; each noted as it is said.

    Raises:
        DeclinedError: nobody answered.
    """
    answer = replace(ordered, turned=ask_what_turned(bench, question))
    bench.notes.answers.append(answer)
    if answer.turned.side is not None:
        turning = ask_which_way(bench, answer.turned.side)
        answer = replace(answer, turning=turning)
        bench.notes.answers[-1] = answer
    return answer


def ask_which_way(bench: SpinBench, side: OwnSide) -> Turning | None:
    """Which way it turned; None where nobody could tell.

    Raises:
        DeclinedError: nobody answered.
    """

    def read(text: str) -> _Told | None:
        if text.strip() == UNSEEN:
            return _Told()
        turning = which_way(text, side)
        return _Told(turning=turning) if turning else None

    told = bench.asks(
        "Which way, seen from above with the arms upright? clockwise / anticlockwise"
        f" ({UNSEEN} not seen): ",
        read,
        "Say clockwise or anticlockwise; or, as seen from behind with the arms forward,"
        " inboard-down or outboard-down. A flag of tape on the shaft shows it.",
    )
    return told.turning


def ask_hand(bench: SpinBench) -> Hand | None:
    """Which way the pair shall turn; None where the build sheet does not say.

    Raises:
        DeclinedError: nobody answered.
    """

    def read(text: str) -> _Told | None:
        if text.strip() == UNSEEN:
            return _Told()
        hand = hand_of(text)
        return _Told(hand=hand) if hand else None

    told = bench.asks(
        "Which way shall the pair turn, by the build sheet? inboard-down / outboard-down"
        f" ({UNSEEN} it does not say): ",
        read,
        "Inboard-down: seen from behind with the arms forward, the blade beside the body"
        " goes down, on both sides.",
    )
    return told.hand

"""The two mistakes that a rehearsal's aircraft was put together with, told at its end."""

from collections.abc import Mapping
from typing import Final

from benchlink.faces.hands import Hands

ARGUMENTS: Final = (
    *("--left-horn", "1"),
    *("--swapped-motor", "right"),
    "--tilts-follow",
)
"""What the aircraft is started with; its arms follow, so that centring can be proven."""


def reveal(hands: Hands) -> tuple[str, ...]:
    """What was wrong from the start, and what has become of it.

    Raises:
        RigError: the aircraft is gone, or does not answer.
    """
    told = hands.order("hidden")
    teeth, turns = _by_side(told["teeth"]), _by_side(told["turns"])
    horn = "it sits right now" if teeth["left"] == 0 else f"it is {_off(teeth['left'])}"
    both_ways = turns["left"] != turns["right"]
    motor = (
        "they turn against each other now"
        if both_ways
        else "both still turn the same way"
    )
    return (
        "Two mistakes were hidden in this aircraft:",
        f"  the left horn was one tooth too far forward: {horn};",
        f"  two leads of the right motor were exchanged: {motor}.",
    )


def _off(teeth: object) -> str:
    count = int(str(teeth))
    way = "forward" if count > 0 else "aft"
    return f"{abs(count)} too far {way} now" if count != 1 else "still there"


def _by_side(told: object) -> Mapping[str, object]:
    return told if isinstance(told, dict) else {}

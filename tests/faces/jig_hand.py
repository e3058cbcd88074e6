"""A person at a terminal with the aircraft before them: looks, reads, turns screws."""

import re
import subprocess
import time
from collections.abc import Callable, Mapping
from typing import Final, final

from tests.faces.running import Aircraft, Workshop

PATIENCE_S: Final = 50.0
READING: Final = (
    r"(?s)the (left|right) tilt arm at [^$]*The jig shows \(7.5 aft; n.*: $"
)
"""The question for a reading."""

Answer = Callable[[re.Match[str]], str]
"""What is typed at a prompt; the line end comes by itself."""


def converse(
    workshop: Workshop,
    *words: str,
    answers: Mapping[str, Answer | str],
    started: Callable[[subprocess.Popen[bytes]], None] = lambda _: None,
) -> tuple[int, str]:
    """Run a verb at a terminal; every prompt is answered, as often as it comes."""

    def answer(heard: str) -> str | None:
        for pattern, what in answers.items():
            found = re.search(pattern, heard)
            if found:
                return what if isinstance(what, str) else what(found)
        return None

    return workshop.converse(
        *words, answer=answer, within_s=PATIENCE_S, started=started
    )


@final
class JigHand:
    """Answers for one simulated aircraft."""

    def __init__(self, craft: Aircraft, side: str = "left") -> None:
        self.craft: Final = craft
        self.side = side
        self.word = "reed"
        self.read: Final[list[str]] = []

    def answers(self) -> dict[str, Answer | str]:
        """Everything that centring and throw may ask."""
        return {
            r"type `(props off [^`]+)` once": lambda found: found[1],
            r"Type 'hands clear' to go on: $": "hands clear",
            r"How far (forward|aft) shall the arm go[^?]*\? $": "",
            r"meet something solid[^?]*\? $": "",
            r"Who works here.*\? $": "builder",
            r"Tail number of the aircraft at the bench: $": "LW-03",
            r"servo of the (left|right) tilt \(nothing.*: $": "",
            r"Go on with an unknown servo\? \[yes/no\] $": "yes",
            r"Write .* values? to the board\? \[yes/no\] $": "yes",
            r"Type `wider` to allow them: $": "wider",
            r"the (left|right) tilt arm moves now[^$]*Which way did it go.*\? $": self._watched,
            r"(?s)the (left|right) tilt arm at [^$]*Hold the stick that tilts (forward|aft)"
            r"[^$]*The jig shows.*: $": self._with_stick,
            READING: self._jig,
            r"(?s)Proof, (left|right)[^$]*The jig shows.*: $": self._jig,
            r"does the servo buzz or get warm there\? \[yes/no\] $": self._warm,
            r"User of the board: $": "bench",
            r"Word of that user: $": self.word,
            r"What does the jig show\? $": lambda _: self._said(),
            r"(?s)move it (one|\d+) (?:tooth|teeth) (forward|aft).*Enter when it sits": self._horn,
        }

    def answer_reading(self, side: str) -> str:
        """What the jig shows on a side."""
        self.side = side
        return self._said()

    def wait_until_still(self) -> None:
        """Until the board drives the arm, and it has arrived."""
        until = time.monotonic() + PATIENCE_S
        while self._doing() != "still":
            assert time.monotonic() < until

    def _warm(self, _found: re.Match[str]) -> str:
        return "yes" if self._doing() == "stalled" else "no"

    def _doing(self) -> object:
        servo = self.craft.order("servos")[self.side]
        assert isinstance(servo, dict)
        return servo["doing"]

    def _said(self) -> str:
        reads = str(self.craft.order(f"jig {self.side}")["reads"])
        self.read.append(reads)
        return reads.replace("fore", "forward")

    def _jig(self, found: re.Match[str]) -> str:
        self.side = found[1]
        return self._said()

    def _with_stick(self, found: re.Match[str]) -> str:
        """Nose down tilts both arms forward."""
        pulse = 2000 if found[2] == "forward" else 1000
        self.side = found[1]
        self.craft.order(f"set channel-2 {pulse}")
        self.wait_until_still()
        reads = self._said()
        self.craft.order("set channel-2 1500")
        return reads

    def _watched(self, found: re.Match[str]) -> str:
        self.side = found[1]
        moved = self.craft.order("moved").get(f"tilt-{self.side}")
        if not isinstance(moved, dict):
            return "n"
        return "f" if moved["way"] == "fore" else "a"

    def _horn(self, found: re.Match[str]) -> str:
        teeth = 1 if found[1] == "one" else int(found[1])
        sign = "+" if found[2] == "forward" else "-"
        self.craft.order(f"horn {self.side} {sign}{teeth}")
        self.craft.order("moved")
        return ""


def on_the_rail(craft: Aircraft) -> JigHand:
    """As the trade has it: pack out, servo rail from a bench supply, both arms still."""
    craft.order("disconnect pack")
    craft.order("connect rail")
    hand = JigHand(craft)
    for hand.side in ("left", "right"):
        hand.wait_until_still()
    craft.order("moved")
    return hand

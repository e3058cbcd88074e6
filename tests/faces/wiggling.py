"""A person at the wiggle test: answers each prompt by what the aircraft truly did."""

import re
import time
from collections.abc import Callable, Mapping
from typing import Final

from tests.faces.running import WITHIN_S, Aircraft, Workshop

PROPS_OFF: Final = re.compile(r"type `(props off [^`]*)` once you have looked: $")
SETTLED_S: Final = 1.0
"""An arm needs far less for six degrees."""


class Watcher:
    """Looks at the arms and types what a person would."""

    def __init__(self, craft: Aircraft, **others: str) -> None:
        self.craft = craft
        self.others = others
        """What is typed where the person does something else than usual."""
        self._seen: Mapping[str, object] = {}

    def answer(self, prompt: str) -> str | None:
        """What to type now; None where this is no prompt."""
        fixed = {
            "Type 'hands clear' to go on: ": "hands clear",
            "Type 'hands clear, props off' to go on: ": "hands clear, props off",
            "Who works here, for the record? ": "assistant",
            "Tail number of the aircraft at the bench: ": "LW-03",
            "Write 2 values to the board? [yes/no] ": "yes",
            "or Enter to stop: ": "",
        }
        if "type `" in prompt.lower():
            return self._makes_safe(prompt)
        if "press Enter" in prompt and prompt.endswith(": "):
            self._let_it_settle()
            self.craft.order("moved")
            return self.others.get("watching", "")
        if prompt.startswith("What moved?") and prompt.endswith(": "):
            return self.others.get("moved") or self._what()
        if prompt.startswith("Which way") and prompt.endswith(": "):
            return self._way()
        if prompt.startswith("Exchange the jobs") and prompt.endswith("[yes/no] "):
            return self.others.get("exchange", "no")
        return next((said for end, said in fixed.items() if prompt.endswith(end)), None)

    def _makes_safe(self, prompt: str) -> str | None:
        if props_off := PROPS_OFF.search(prompt):
            return props_off[1]
        if not prompt.endswith("Type `out` then: "):
            return None
        typed = self.others.get("pack", "out")
        if typed == "out":
            self.craft.order("disconnect pack")
            self.craft.order("connect rail")
        return typed

    def _what(self) -> str:
        self._let_it_settle()
        self._seen = self.craft.order("moved")
        tilts = [what.removeprefix("tilt-") for what in self._seen if "tilt" in what]
        if len(tilts) > 1:
            return "both"
        if any("motor" in what for what in self._seen):
            return "motor"
        return tilts[0] if tilts else "nothing"

    def _way(self) -> str:
        ((_, went),) = self._seen.items()
        assert isinstance(went, dict)
        return {"fore": "forward", "aft": "aft"}[str(went["way"])]

    def _let_it_settle(self) -> None:
        until = time.monotonic() + SETTLED_S
        while time.monotonic() < until:
            servos = self.craft.order("servos").values()
            if all(isinstance(s, dict) and s["doing"] != "moving" for s in servos):
                return


def at_terminal(
    workshop: Workshop, *words: str, answer: Callable[[str], str | None]
) -> tuple[int, str]:
    """Run a verb at a terminal; `answer` is asked about each unfinished line."""
    return workshop.converse(
        *words,
        answer=lambda heard: answer(heard.rpartition("\n")[2].rpartition("\r")[2]),
        within_s=2 * WITHIN_S,
    )

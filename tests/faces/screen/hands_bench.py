"""Hands that are no aircraft: orders are answered from a table, and remembered."""

from collections.abc import Mapping
from typing import final

from benchlink.errors import RigError

ANSWERS: dict[str, Mapping[str, object]] = {
    "connect pack": {"pack-volts": 15.88, "rail-volts": 5.02},
    "disconnect pack": {"pack-volts": 0.0, "rail-volts": 0.0},
    "jig left": {"reads": "7.5 fore", "moving": False},
    "jig right": {"reads": "2.1 aft", "moving": True},
    "moved": {"motor-right": {"way": "clockwise", "rev_min": 812}},
    "horn left -1": {"error": "the screw is stuck"},
}


@final
class FakeHands:
    """Answers orders as a simulated aircraft would, and remembers them."""

    def __init__(self) -> None:
        self.orders: list[str] = []
        """All but looks."""
        self.looks = 0
        self.bench: dict[str, object] = {"usb": True, "stick": "free"}
        self.gone = False

    def order(self, text: str) -> Mapping[str, object]:
        if self.gone:
            msg = "the simulated aircraft is gone"
            raise RigError(msg, hint="Start another rehearsal.")
        if text == "look":
            return self.bench
        if text == "moved":
            self.looks += 1
        else:
            self.orders.append(text)
        if text == "connect pack":
            self.bench["pack"] = True
        return ANSWERS.get(text, {})

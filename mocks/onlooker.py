"""What stands to see around the board, and what was hidden in it: orders without a port.

look      what is connected, fitted, held and plugged where, as a person would see it
hidden    how the horns sit, and which motors have two leads swapped; how each turns
"""

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from .demands import PITCH
from .hands import STICK_US, Told

if TYPE_CHECKING:
    from .device import Device


def _look(device: "Device", _rest: str, _now_us: int) -> Told:
    craft = device.aircraft
    power = craft.airframe.power
    held_us = craft.physical[f"channel-{PITCH}"]
    return {
        "pack": power.pack_in,
        "supply": power.supply is not None,
        "usb": power.usb_in,
        "props": craft.airframe.props,
        "radio": craft.radio_link,
        "stick": next((w for w, us in STICK_US.items() if us == held_us), "between"),
        "plugs": dict(craft.airframe.plugs),
        "faults": len(device.faults.active),
    }


def _hidden(device: "Device", _rest: str, _now_us: int) -> Told:
    airframe = device.aircraft.airframe
    return {
        "teeth": {side: servo.tooth for side, servo in airframe.servos.items()},
        "swapped": {side: m.wiring.swapped for side, m in airframe.motors.items()},
        "turns": {side: motor.way for side, motor in airframe.motors.items()},
    }


LOOK_ORDERS: Final[dict[str, Callable[["Device", str, int], Told]]] = {
    "look": _look,
    "hidden": _hidden,
}

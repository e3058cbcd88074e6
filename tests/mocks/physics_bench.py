"""A wader with its airframe in virtual time, and the person in front of it."""

from dataclasses import replace

from mocks.control import tell_hands
from mocks.device import Device
from mocks.options import Options

SECOND = 1_000_000
PLAIN = {
    "slope-deg-us": "0.1",
    "offset-deg": "0",
    "play-deg": "0",
    "dead-us": "0",
    "slew-deg-s": "100",
    "stop-aft-deg": "50",
    "stop-fore-deg": "50",
}
"""A servo that does exactly what it is told, and slowly enough to be watched."""


class Bench:
    """The flight pack is in: servos and motors have their volts."""

    def __init__(self, options: Options | None = None, *, plain: bool = True) -> None:
        self.device = Device(replace(options or Options(), pack_in=True))
        self.craft = self.device.aircraft
        self.now = 5 * SECOND
        self.device.collect(self.now)
        for side in ("left", "right") if plain else ():
            for key, value in PLAIN.items():
                self.hands(f"servo {side} {key} {value}")

    def ask(self, line: str) -> str:
        """The answer, given a millisecond later."""
        self.device.receive(line.encode() + b"\r", self.now)
        return self.wait(0.001)

    def wait(self, seconds: float) -> str:
        self.now += round(seconds * SECOND)
        return self.device.collect(self.now).decode()

    def hands(self, order: str) -> dict[str, object]:
        return tell_hands(self.device, order, self.now)

    def angle(self, side: str = "left", preload: float = 0.0) -> float:
        return self.craft.outputs.angle_deg(side, self.now, preload)

    def pulse(self, pad: int) -> float:
        return self.craft.pulses_us(self.now)[pad - 1]

    def drive(self, pulse_us: int, pad: int = 3, *, seconds: float = 1.0) -> None:
        """Drive a pad and wait until the arm is there."""
        self.ask(f"swing p{pad} to {pulse_us} for 2000")
        self.wait(seconds)

    def set(self, name: str, value: float) -> None:
        self.craft.physical.set(name, str(value))

    def go_live(self) -> None:
        self.craft.outputs_live = True

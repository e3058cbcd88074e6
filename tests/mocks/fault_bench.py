"""A wader behind its line in virtual time, with faults, and a host that reads all."""

from mocks.device import Device
from mocks.fault_text import read_faults
from mocks.options import Options
from mocks.uart import Line

NOW = 1_000_000
BOOT_BYTES = 83
"""What an empty board says before its first prompt, prompt included."""
LET = b"let tilt.left.centre_us be 1600\r"
RECITE = b"recite tilt.left.centre_us\r"
CENTRE = "tilt.left.centre_us"


class Host:
    def __init__(self, faults: str = "", *, options: Options | None = None) -> None:
        self.options = options or Options(settings=60)
        self.line = Line(Device(self.options), self.options)
        self.now_us = NOW
        self.booted = self.line.from_board(NOW)
        for fault in read_faults(faults):
            self.device.faults.add(fault, NOW)

    @property
    def device(self) -> Device:
        return self.line.device

    def centre(self) -> str:
        """The true live value that the tests write."""
        return self.device.aircraft.live[CENTRE]

    def kept_centre(self) -> str | None:
        return self.device.aircraft.kept().get(CENTRE)

    def plugged(self) -> bool:
        return self.line.plugged

    def say(self, data: bytes) -> None:
        self.line.to_board(data, self.now_us)

    def hear(self, span_us: int = 2_000_000) -> bytes:
        """All that comes within a time, each byte as soon as it can be had."""
        end_us, heard = self.now_us + span_us, self.line.from_board(self.now_us)
        while (due := self.line.next_us(self.now_us)) is not None and due <= end_us:
            self.now_us = max(self.now_us + 1, due)
            heard += self.line.from_board(self.now_us)
        self.now_us = end_us
        return heard + self.line.from_board(end_us)

    def ask(self, line: bytes) -> bytes:
        self.say(line)
        return self.hear()

    def tally(self, name: str) -> tuple[int, int]:
        return self.device.faults.tally()[name]

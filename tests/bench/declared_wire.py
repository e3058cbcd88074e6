"""A pty that declares a line speed, as a cable does, and notes when it was written to."""

import time
from typing import Final, final

from benchlink.link.ports import PortIdentity
from benchlink.link.wire import Wire, open_wire
from benchlink.units import Baud
from tests.bench.tap import Seen


@final
class DeclaredWire:
    """Everything but the speed is the wire's own."""

    def __init__(self, wire: Wire, speed: Baud) -> None:
        self._wire: Final = wire
        self.speed: Final[Baud | None] = speed
        self.handed_over: Final[list[Seen]] = []
        """Each write, stamped before the system had it."""

    @property
    def device(self) -> PortIdentity:
        """Where it leads."""
        return self._wire.device

    def fileno(self) -> int:
        """To wait for it."""
        return self._wire.fileno()

    def read_ready(self) -> bytes:
        """What is there now."""
        return self._wire.read_ready()

    def write(self, data: bytes) -> int:
        """Hand over what fits."""
        at_s = time.monotonic()
        taken = self._wire.write(data)
        self.handed_over.append(Seen(at_s, data[:taken]))
        return taken

    def close(self) -> None:
        """Let go."""
        self._wire.close()


def open_declared(url: str, speed: Baud, device: PortIdentity) -> DeclaredWire:
    """Open a pty so that the tool paces it like a cable of that speed."""
    return DeclaredWire(open_wire(url, speed, device), speed)

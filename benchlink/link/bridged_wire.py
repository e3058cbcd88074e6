"""A port that cannot be waited for by number: a small thread feeds a socket pair.

pyserial's remote ports and its ports on Windows have no file descriptor to poll, so
one named daemon thread reads them and passes everything on.
"""

import socket
import threading
from contextlib import suppress
from typing import Final, Protocol, final

from benchlink.link.ports import PortIdentity
from benchlink.link.socket_reading import read_ready
from benchlink.link.trouble import foreign_errors, lost
from benchlink.units import Baud, Seconds

READ_SLICE: Final = Seconds(0.05)
"""How long the reading thread may overlook that it should end."""
END_WITHIN: Final = Seconds(2.0)


class SlowPort(Protocol):
    """What is used of pyserial's ports."""

    @property
    def in_waiting(self) -> int:
        """Bytes to read at once."""
        ...

    def read(self, size: int = 1, /) -> bytes:
        """Wait for `size` bytes, or for the port's own time-out."""
        ...

    def write(self, b: bytes, /) -> int | None:
        """All of it."""
        ...

    def close(self) -> None:
        """Let go."""
        ...


@final
class BridgedWire:
    """One of pyserial's ports; its read time-out must be `READ_SLICE`."""

    def __init__(
        self, port: SlowPort, device: PortIdentity, speed: Baud | None
    ) -> None:
        self._port: Final = port
        self.device: Final = device
        self.speed: Final = speed
        self._foreign: Final = foreign_errors()
        self._near, self._far = socket.socketpair()
        self._near.setblocking(False)  # noqa: FBT003 - positional only
        self._ending = threading.Event()
        self._thread: Final = threading.Thread(
            target=self._pass_on, name="link bridge", daemon=True
        )
        self._thread.start()

    def fileno(self) -> int:
        """To wait for it with other things."""
        return self._near.fileno()

    def read_ready(self) -> bytes:
        """What is there now, perhaps nothing."""
        return read_ready(self._near, self.device.url)

    def write(self, data: bytes) -> int:
        """Hand everything over; pyserial takes it whole."""
        try:
            return self._port.write(data) or 0
        except self._foreign as trouble:
            raise lost(self.device.url) from trouble

    def close(self) -> None:
        """End the reading thread, then let go of the port."""
        self._ending.set()
        self._near.close()
        self._thread.join(END_WITHIN)
        with suppress(*self._foreign):
            self._port.close()

    def _pass_on(self) -> None:
        with self._far, suppress(*self._foreign):
            while not self._ending.is_set():
                data = self._port.read(max(1, self._port.in_waiting))
                if data:
                    self._far.sendall(data)

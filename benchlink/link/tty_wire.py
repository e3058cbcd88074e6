"""A cable: pyserial opens, locks and configures; bytes then go by file descriptor.

The kernel raises DTR and RTS when it opens a port, and pyserial sets the same again,
so no edge is added here. Clearing HUPCL keeps them up at close: the next open then
makes no edge either, and a board that restarts on one is left in peace.
"""

import os
import sys
from contextlib import suppress
from typing import TYPE_CHECKING, Final, final

from benchlink.link.address import is_pty
from benchlink.link.bridged_wire import READ_SLICE, BridgedWire
from benchlink.link.ports import PortIdentity
from benchlink.link.trouble import foreign_errors, lost, open_trouble
from benchlink.units import Baud

if TYPE_CHECKING:
    from serial import Serial

    from benchlink.link.wire import Wire

CHUNK_BYTES: Final = 65536


@final
class TtyWire:
    """An open, locked, raw terminal line."""

    def __init__(self, port: "Serial", device: PortIdentity, speed: Baud) -> None:
        self._port: Final = port
        self._fd: Final = port.fileno()
        self._is_pty: Final = is_pty(device.url)
        self.device: Final = device
        self.speed: Final[Baud | None] = None if self._is_pty else speed
        self._open = True

    def settle(self) -> None:
        """Lock others out in the kernel, and make an empty read mean a hang-up."""
        import fcntl  # noqa: PLC0415 - POSIX only
        import termios  # noqa: PLC0415 - POSIX only

        if not self._is_pty:
            # flock binds only those who ask. A pty outlives its client, and would
            # keep this lock after a kill; nothing probes ptys, so flock does there.
            fcntl.ioctl(self._fd, termios.TIOCEXCL)
        mode = termios.tcgetattr(self._fd)
        mode[2] &= ~termios.HUPCL
        mode[6][termios.VMIN] = 1
        mode[6][termios.VTIME] = 0
        termios.tcsetattr(self._fd, termios.TCSANOW, mode)

    def fileno(self) -> int:
        """To wait for it with other things."""
        return self._fd

    def read_ready(self) -> bytes:
        """What is there now, perhaps nothing."""
        try:
            data = os.read(self._fd, CHUNK_BYTES)
        except BlockingIOError:
            return b""
        except OSError as trouble:
            raise lost(self.device.url) from trouble
        if not data:
            raise lost(self.device.url)
        return data

    def write(self, data: bytes) -> int:
        """Hand over what fits now."""
        try:
            return os.write(self._fd, data)
        except BlockingIOError:
            return 0
        except OSError as trouble:
            raise lost(self.device.url) from trouble

    def close(self) -> None:
        """Let others in again, and let go."""
        if not self._open:
            return
        self._open = False
        if sys.platform != "win32":
            import fcntl  # noqa: PLC0415 - POSIX only
            import termios  # noqa: PLC0415 - POSIX only

            with suppress(OSError):
                fcntl.ioctl(self._fd, termios.TIOCNXCL)
        with suppress(*foreign_errors()):
            self._port.close()


def open_tty(url: str, speed: Baud, device: PortIdentity) -> "Wire":
    """Open a device path exclusively, 8N1, no flow control."""
    from serial import Serial  # noqa: PLC0415 - only where it is needed

    foreign = foreign_errors()
    exclusive = None if sys.platform == "win32" else True
    try:
        port = Serial(url, speed, timeout=READ_SLICE, exclusive=exclusive)
    except foreign as trouble:
        raise open_trouble(trouble, url) from trouble
    if sys.platform == "win32":
        return BridgedWire(port, device, speed)
    with suppress(*foreign, NotImplementedError):  # adapters only; 16 ms become 1 ms
        port.set_low_latency_mode(True)
    wire = TtyWire(port, device, speed)
    try:
        wire.settle()
    except foreign as trouble:
        wire.close()
        raise open_trouble(trouble, url) from trouble
    return wire

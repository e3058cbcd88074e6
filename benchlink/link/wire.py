"""What carries the bytes: one promise for cables, sockets and remote ports."""

from typing import Protocol

from benchlink.link.ports import PortIdentity
from benchlink.link.rfc2217_wire import open_rfc2217
from benchlink.link.tcp_wire import open_tcp
from benchlink.link.tty_wire import open_tty
from benchlink.units import Baud


class Wire(Protocol):
    """An open way to a board; nothing in it ever waits for the board."""

    @property
    def speed(self) -> Baud | None:
        """What paces it; None on a pty or a plain socket."""
        ...

    @property
    def device(self) -> PortIdentity:
        """Where it leads."""
        ...

    def fileno(self) -> int:
        """To wait for it with other things."""
        ...

    def read_ready(self) -> bytes:
        """What is there now, perhaps nothing.

        Raises:
            PortLostError: the other end is gone.
        """
        ...

    def write(self, data: bytes) -> int:
        """Hand over what fits now, and say how many bytes that were.

        Raises:
            PortLostError: the other end is gone.
        """
        ...

    def close(self) -> None:
        """Let go; never raises, and a second time does nothing."""
        ...


def open_wire(url: str, speed: Baud, device: PortIdentity | None = None) -> Wire:
    """Open a port by what stands before `://`; without one it is a device path.

    Raises:
        LinkError: it does not open; says why and what to do.
        UsageError: the address cannot be read.
    """
    device = device or PortIdentity(url=url)
    scheme = url.partition("://")[0]
    if scheme == "socket":
        return open_tcp(url, device)
    if scheme == "rfc2217":
        return open_rfc2217(url, speed, device)
    return open_tty(url, speed, device)

"""A board behind a TCP port: `socket://host:port`."""

import socket
from typing import Final, final
from urllib.parse import urlsplit

from benchlink.errors import UsageError
from benchlink.link.ports import PortIdentity
from benchlink.link.socket_reading import read_ready
from benchlink.link.trouble import lost, open_trouble
from benchlink.units import Baud, Seconds

CONNECT_WITHIN: Final = Seconds(5.0)


@final
class TcpWire:
    """A plain socket; nothing paces it."""

    def __init__(self, connection: socket.socket, device: PortIdentity) -> None:
        self._socket = connection
        self.device: Final = device
        self.speed: Final[Baud | None] = None

    def fileno(self) -> int:
        """To wait for it with other things."""
        return self._socket.fileno()

    def read_ready(self) -> bytes:
        """What is there now, perhaps nothing."""
        return read_ready(self._socket, self.device.url)

    def write(self, data: bytes) -> int:
        """Hand over what fits now."""
        try:
            return self._socket.send(data)
        except BlockingIOError:
            return 0
        except OSError as trouble:
            raise lost(self.device.url) from trouble

    def close(self) -> None:
        """Let go."""
        self._socket.close()


def split_address(url: str) -> tuple[str, int]:
    """Host and port of `scheme://host:port`.

    Raises:
        UsageError: one of them is missing.
    """
    try:
        parts = urlsplit(url)
        host, port = parts.hostname, parts.port
    except ValueError:
        host, port = None, None
    if not host or port is None:
        msg = f"{url} names no host and port"
        raise UsageError(msg, hint="Write it like socket://127.0.0.1:4001.")
    return host, port


def open_tcp(url: str, device: PortIdentity) -> TcpWire:
    """Connect; waits at most `CONNECT_WITHIN`."""
    address = split_address(url)
    try:
        connection = socket.create_connection(address, CONNECT_WITHIN)
    except OSError as trouble:
        raise open_trouble(trouble, url) from trouble
    connection.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    connection.setsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE, 1)
    connection.setblocking(False)  # noqa: FBT003 - positional only
    return TcpWire(connection, device)

"""A TCP port on 127.0.0.1 for one client at a time."""

import contextlib
import socket
from typing import Final, final

_READ_AT_MOST: Final = 4096


@final
class TcpPort:
    """Each plugging in listens on another free port.

    A second client is hung up on. What the board says while nobody listens is lost.
    """

    def __init__(self) -> None:
        self._name = ""
        self._listener: socket.socket | None = None
        self._spare: socket.socket | None = None
        self._client: socket.socket | None = None
        self.plug()

    @property
    def name(self) -> str:
        """A `socket://` address; empty while the cable is out."""
        return self._name

    def watch(self) -> tuple[int, ...]:
        """The listener and the client."""
        known = (self._listener, self._client)
        return tuple(each.fileno() for each in known if each is not None)

    def room(self) -> int | None:
        """The client."""
        return None if self._client is None else self._client.fileno()

    def read(self) -> bytes:
        """Let a client in, or take what it has sent."""
        self._accept()
        if self._client is None:
            return b""
        try:
            data = self._client.recv(_READ_AT_MOST)
        except BlockingIOError:
            return b""
        except OSError:
            data = b""
        if not data:
            self._hang_up()
        return data

    def write(self, data: bytes) -> int:
        """Send to the client."""
        if self._client is None:
            return len(data)
        try:
            return self._client.send(data)
        except BlockingIOError:
            return 0
        except OSError:
            self._hang_up()
            return len(data)

    def unplug(self) -> None:
        """Hang up and stop listening."""
        if self._listener is None:
            return
        self._spare = _listen()
        self._name = ""
        self._hang_up()
        self._listener.close()
        self._listener = None

    def plug(self) -> None:
        """Listen on a new port."""
        if self._listener is not None:
            return
        self._listener, self._spare = self._spare or _listen(), None
        self._listener.listen()
        self._name = f"socket://127.0.0.1:{self._listener.getsockname()[1]}"

    def close(self) -> None:
        """Close everything."""
        self._hang_up()
        for each in (self._listener, self._spare):
            if each is not None:
                each.close()
        self._listener = self._spare = None

    def _accept(self) -> None:
        if self._listener is None:
            return
        with contextlib.suppress(BlockingIOError, ConnectionError):
            newcomer, _ = self._listener.accept()
            if self._client is not None:
                newcomer.close()
                return
            newcomer.settimeout(0)
            newcomer.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            self._client = newcomer

    def _hang_up(self) -> None:
        if self._client is not None:
            self._client.close()
            self._client = None


def _listen() -> socket.socket:
    """Bound, so that the number is taken, but not yet listening."""
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.settimeout(0)
    listener.bind(("127.0.0.1", 0))
    return listener

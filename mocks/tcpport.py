"""A TCP port on 127.0.0.1 for one client at a time."""

import contextlib
import socket
from typing import Final, final

from .fault_events import Path

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
        self._number = 0
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

    def plug(self, path: Path = Path.OTHER) -> None:
        """Listen on a new port, or on the last one unless another has taken it."""
        if self._listener is not None:
            return
        spare, self._spare = self._spare or _listen(), None
        if path is Path.SAME:
            spare = self._again(spare)
        self._listener = spare
        self._listener.listen()
        self._number = self._listener.getsockname()[1]
        self._name = f"socket://127.0.0.1:{self._number}"

    def close(self) -> None:
        """Close everything."""
        self._hang_up()
        for each in (self._listener, self._spare):
            if each is not None:
                each.close()
        self._listener = self._spare = None

    def _again(self, spare: socket.socket) -> socket.socket:
        try:
            same = _listen(self._number)
        except OSError:
            return spare
        spare.close()
        return same

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


def _listen(number: int = 0) -> socket.socket:
    """Bound, so that the number is taken, but not yet listening; 0: any number."""
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.settimeout(0)
    # What is left of the last client must not stand in the way of the same number; and
    # a free number is looked for before, lest it be one that is only about to be free.
    if number:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    listener.bind(("127.0.0.1", number))
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    return listener

"""Reading a socket that never blocks, whatever stands at its other end."""

import socket
from typing import Final

from benchlink.link.trouble import lost

CHUNK_BYTES: Final = 65536


def read_ready(connection: socket.socket, url: str) -> bytes:
    """What is there now, perhaps nothing.

    Raises:
        PortLostError: the other end is gone.
    """
    try:
        data = connection.recv(CHUNK_BYTES)
    except BlockingIOError:
        return b""
    except OSError as trouble:
        raise lost(url) from trouble
    if not data:
        raise lost(url)
    return data

"""Sits in the line between the tool and a simulated aircraft, with a watch."""

import os
import time
import tty
from dataclasses import dataclass
from typing import Final, Self, final

CHUNK: Final = 65536


@dataclass(frozen=True, slots=True)
class Seen:
    """Bytes from the host, and when they came (monotonic seconds)."""

    at_s: float
    data: bytes


@final
class Tap:
    """A pty for the host; everything passes at once, both ways."""

    def __init__(self, board_port: str) -> None:
        self.host, self._kept_open = os.openpty()
        tty.setraw(self._kept_open)
        self.port: Final = os.ttyname(self._kept_open)
        self.board: Final = os.open(board_port, os.O_RDWR | os.O_NOCTTY)
        tty.setraw(self.board)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        for descriptor in (self.host, self._kept_open, self.board):
            os.close(descriptor)

    @property
    def ends(self) -> tuple[int, int]:
        """Both to be watched."""
        return self.host, self.board

    def pass_on(self, ready: int) -> Seen | None:
        """Let bytes through from one end; what the host sent is stamped."""
        data = os.read(ready, CHUNK)
        at_s = time.monotonic()
        if ready == self.host:
            os.write(self.board, data)
            return Seen(at_s, data)
        os.write(self.host, data)
        return None

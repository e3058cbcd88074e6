"""A terminal line and nothing else: the floor for every way of asking."""

import os
import select
import tty
from typing import Final, Self, final

from tests.bench.effort import MeasureError

PROMPT: Final = b"\r\n@ "
ABANDON: Final = b"\x15"
QUIET_S: Final = 0.3
TRIES: Final = 20
CHUNK: Final = 65536


@final
class BareLine:
    """Speaks to the wader console by descriptor."""

    def __init__(self, port: str) -> None:
        self._descriptor: Final = os.open(port, os.O_RDWR | os.O_NOCTTY)
        tty.setraw(self._descriptor)
        self._wake()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        os.close(self._descriptor)

    def ask(self, line: bytes) -> bytes:
        """Everything up to the next prompt; `line` with its line end."""
        os.write(self._descriptor, line)
        answer = b""
        while not answer.endswith(PROMPT):
            answer += os.read(self._descriptor, CHUNK)
        return answer

    def _wake(self) -> None:
        for _ in range(TRIES):
            os.write(self._descriptor, ABANDON)
            if self._until_quiet().endswith(PROMPT):
                return
        msg = "no prompt on a bare line"
        raise MeasureError(msg)

    def _until_quiet(self) -> bytes:
        heard = b""
        while select.select([self._descriptor], (), (), QUIET_S)[0]:
            heard += os.read(self._descriptor, CHUNK)
        return heard

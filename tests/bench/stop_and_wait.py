"""The simple client to stand beside: one line, then wait for the whole answer."""

from typing import Final, Self, final

from serial import Serial

from tests.bench.aircraft import BAUD
from tests.bench.effort import MeasureError

PROMPT: Final = b"\r\n@ "
PATIENCE_S: Final = 20.0


@final
class StopAndWait:
    """Speaks to the wader console with pyserial's `read_until`."""

    def __init__(self, port: str) -> None:
        self._serial: Final = Serial(port, BAUD, timeout=PATIENCE_S, exclusive=True)
        self.ask("state")

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._serial.close()

    def ask(self, line: str) -> bytes:
        """Everything up to the next prompt.

        Raises:
            MeasureError: no prompt came.
        """
        self._serial.write(line.encode("ascii") + b"\r")
        answer = self._serial.read_until(PROMPT)
        if not answer.endswith(PROMPT):
            msg = f"the stop-and-wait client got no answer to {line!r}"
            raise MeasureError(msg)
        return answer

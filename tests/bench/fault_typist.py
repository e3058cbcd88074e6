"""A verb at a terminal, and whoever sits there: hands are clear, and no other yes is given."""

import os
import pty
import subprocess
from threading import Thread
from typing import Final, final

from benchlink.core.confirmation import HANDS_CLEAR
from tests.faces.running import Workshop, command

ANSWERS: Final = {
    f"Type '{HANDS_CLEAR}' to go on: ": HANDS_CLEAR,
    "[yes/no] ": "",
}


@final
class Typist:
    """Types what is asked for, as long as the verb runs."""

    def __init__(self, workshop: Workshop, *words: str) -> None:
        self._master, slave = pty.openpty()
        self.process: Final = subprocess.Popen(
            command(*words),
            cwd=workshop.folder,
            env=workshop.environment,
            stdin=slave,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )
        os.close(slave)
        self._said = ""
        self._thread: Final = Thread(target=self._type, name="typist", daemon=True)
        self._thread.start()

    def ended(self, within_s: float) -> tuple[int, str]:
        """Its exit code and all that it said.

        Raises:
            TimeoutExpired: it did not end.
        """
        try:
            code = self.process.wait(within_s)
        finally:
            self.process.kill()
            self._thread.join(within_s)
            os.close(self._master)
        return code, self._said

    def _type(self) -> None:
        assert self.process.stdout is not None
        while data := os.read(self.process.stdout.fileno(), 65536):
            self._said += data.decode("utf-8", "replace")
            for prompt, typed in ANSWERS.items():
                if self._said.endswith(prompt):
                    os.write(self._master, f"{typed}\n".encode())

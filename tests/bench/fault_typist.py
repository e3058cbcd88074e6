"""A verb at a terminal, and whoever sits there: hands are clear, and no other yes is given."""

import os
import pty
import signal
import subprocess
from threading import Thread
from typing import Final, final

from benchlink.core.confirmation import AND_PROPS_OFF, HANDS_CLEAR
from tests.faces.running import Workshop, command

ANSWERS: Final = {
    f"Type '{HANDS_CLEAR}' to go on: ": HANDS_CLEAR,
    f"Type '{AND_PROPS_OFF}' to go on: ": AND_PROPS_OFF,
    "[yes/no] ": "",
}

DUMPED_S: Final = 10.0


@final
class Typist:
    """Types what is asked for, as long as the verb runs."""

    def __init__(self, workshop: Workshop, *words: str) -> None:
        self._master, slave = pty.openpty()
        self.process: Final = subprocess.Popen(
            command(*words),
            cwd=workshop.folder,
            env={**workshop.environment, "PYTHONFAULTHANDLER": "1"},
            stdin=slave,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )
        os.close(slave)
        self.said = ""
        self._thread: Final = Thread(target=self._type, name="typist", daemon=True)
        self._thread.start()

    def ended(self, within_s: float) -> tuple[int, str]:
        """Its exit code and all that it said.

        Raises:
            TimeoutExpired: it did not end; `said` ends with where it stood.
        """
        try:
            code = self.process.wait(within_s)
        except subprocess.TimeoutExpired:
            # The fault handler tells the stack of every thread.
            self.process.send_signal(signal.SIGABRT)
            self.process.wait(DUMPED_S)
            raise
        finally:
            self.process.kill()
            self._thread.join(within_s)
            os.close(self._master)
        return code, self.said

    def _type(self) -> None:
        assert self.process.stdout is not None
        while data := os.read(self.process.stdout.fileno(), 65536):
            self.said += data.decode("utf-8", "replace")
            for prompt, typed in ANSWERS.items():
                if self.said.endswith(prompt):
                    os.write(self._master, f"{typed}\n".encode())

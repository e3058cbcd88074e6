"""Starting the simulated aircraft: always a process of its own, never imported."""

import contextlib
import json
import os
import queue
import subprocess
import sys
import threading
from collections.abc import Callable, Mapping, Sequence
from importlib.util import find_spec
from pathlib import Path
from typing import Final, Self, final

import benchlink
from benchlink.errors import BenchError, RigError

INSTALLED: Final = "benchlink._aircraft"
CHECKOUT: Final = "mocks"
GONE_WITHIN_S: Final = 5.0
ANSWER_WITHIN_S: Final = 10.0
"""An order is answered at once; this is for a machine that has no time."""
NEW_PORT: Final = "port "
"""Stands before the name of a port that the cable was put into again."""


@final
class SimulatedAircraft:
    """A running simulated aircraft; it ends when this process does.

    Orders may come from any thread: one at a time, each with its own answer.
    """

    def __init__(self, arguments: Sequence[str], simulated_folder: Path) -> None:
        simulated_folder.mkdir(parents=True, exist_ok=True)
        self._announcement: Final = simulated_folder / f"{os.getpid()}.json"
        how, folder = _where()
        self.process: Final = subprocess.Popen(  # noqa: S603 - our own module
            [
                sys.executable,
                *how,
                "--until-eof",
                "--announce",
                str(self._announcement),
                *arguments,
            ],
            cwd=folder,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            # Ctrl-C is for us: we close its input, and it ends by itself.
            start_new_session=True,
        )
        self.on_new_port: Callable[[str], None] = lambda _port: None
        """Called from the thread that listens, with the name of another port."""
        self._turn: Final = threading.Lock()
        self._due = 0
        """Orders whose answers have not been taken yet."""
        self._answers: Final[queue.SimpleQueue[Mapping[str, object] | None]] = (
            queue.SimpleQueue()
        )
        self._listener: Final = threading.Thread(
            target=self._listen, name="aircraft's words", daemon=True
        )
        self.port = self._first_line()
        """Where its console is; another one after the cable was out."""
        self._listener.start()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def order(self, text: str) -> Mapping[str, object]:
        """Give one order (`unplug`, `power-cycle` ...) and its answer; blocks.

        Raises:
            RigError: the aircraft is gone, or does not answer.
        """
        with self._turn:
            self._say(" ".join(text.split()))
            self._due += 1
            while True:
                try:
                    answer = self._answers.get(timeout=ANSWER_WITHIN_S)
                except queue.Empty:
                    msg = "the simulated aircraft does not answer"
                    raise RigError(msg, hint="Wait a little, then try again.") from None
                if answer is None:
                    self._answers.put(None)  # for whoever orders next
                    raise _gone()
                self._due -= 1
                # What a late order was answered with is nobody's any more.
                if not self._due:
                    return answer

    def close(self) -> None:
        """Switch it off."""
        if self.process.stdin:
            with contextlib.suppress(BrokenPipeError):
                self.process.stdin.close()
        try:
            self.process.wait(GONE_WITHIN_S)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        if self._listener.is_alive():
            self._listener.join(GONE_WITHIN_S)
        if self.process.stdout:
            self.process.stdout.close()
        self._announcement.unlink(missing_ok=True)

    def _say(self, line: str) -> None:
        try:
            if self.process.stdin is None or self.process.stdin.closed:
                raise _gone()
            self.process.stdin.write(line + "\n")
            self.process.stdin.flush()
        except OSError:
            raise _gone() from None

    def _listen(self) -> None:
        """Sort what it says: answers to orders, and another port."""
        for line in self.process.stdout or ():
            if line.startswith("{"):
                self._answers.put(json.loads(line))
            elif line.startswith(NEW_PORT):
                self.port = line.removeprefix(NEW_PORT).strip()
                self.on_new_port(self.port)
        self._answers.put(None)

    def _first_line(self) -> str:
        line = self.process.stdout.readline().strip() if self.process.stdout else ""
        if not line:
            self.close()
            msg = "the simulated aircraft did not start"
            raise BenchError(msg, hint="What it printed above tells why.")
        return line


def _gone() -> RigError:
    return RigError("the simulated aircraft is gone", hint="Start another rehearsal.")


def _where() -> tuple[list[str], Path | None]:
    """How to start it, and in which folder.

    The installed one without the current folder on the path (`-P`), which may be a
    checkout and then hides it.
    """
    if find_spec(INSTALLED):
        return ["-P", "-m", INSTALLED], None
    return ["-m", CHECKOUT], Path(benchlink.__file__).resolve().parent.parent

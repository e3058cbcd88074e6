"""Starting the simulated aircraft: always a process of its own, never imported."""

import os
import subprocess
import sys
import threading
from collections.abc import Sequence
from importlib.util import find_spec
from pathlib import Path
from typing import Final, Self, TextIO, final

import benchlink
from benchlink.errors import BenchError

INSTALLED: Final = "benchlink._aircraft"
CHECKOUT: Final = "mocks"
GONE_WITHIN_S: Final = 5.0


@final
class SimulatedAircraft:
    """A running simulated aircraft; it ends when this process does."""

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
        self.port: Final = self._first_line()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def tell(self, line: str) -> None:
        """Hand a control line to the aircraft (`unplug`, `power-cycle` ...)."""
        if self.process.stdin and self.process.poll() is None:
            self.process.stdin.write(line + "\n")
            self.process.stdin.flush()

    def copy_words(self, to: TextIO) -> None:
        """Pass on what the aircraft answers to control lines, for as long as it runs."""

        def copy() -> None:
            for line in self.process.stdout or ():
                to.write(line)
                to.flush()

        threading.Thread(target=copy, name="aircraft's words", daemon=True).start()

    def close(self) -> None:
        """Switch it off."""
        if self.process.stdin:
            self.process.stdin.close()
        try:
            self.process.wait(GONE_WITHIN_S)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        if self.process.stdout:
            self.process.stdout.close()
        self._announcement.unlink(missing_ok=True)

    def _first_line(self) -> str:
        line = self.process.stdout.readline().strip() if self.process.stdout else ""
        if not line:
            self.close()
            msg = "the simulated aircraft did not start"
            raise BenchError(msg, hint="What it printed above tells why.")
        return line


def _where() -> tuple[list[str], Path | None]:
    """How to start it, and in which folder.

    The installed one without the current folder on the path (`-P`), which may be a
    checkout and then hides it.
    """
    if find_spec(INSTALLED):
        return ["-P", "-m", INSTALLED], None
    return ["-m", CHECKOUT], Path(benchlink.__file__).resolve().parent.parent

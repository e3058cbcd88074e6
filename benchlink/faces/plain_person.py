"""The person at a plain terminal: sentences on stderr, so that stdout stays data."""

import shutil
import sys
from getpass import getpass
from typing import Final, TextIO, final

from benchlink.core.plan import Plan
from benchlink.faces.wording import plain, plan_lines


@final
class PlainPerson:
    """Talks to whoever sits at the terminal; in a pipe nobody can be asked."""

    def __init__(
        self,
        stdin: TextIO = sys.stdin,
        stdout: TextIO = sys.stdout,
        stderr: TextIO = sys.stderr,
    ) -> None:
        self._stdin: Final = stdin
        self._stdout: Final = stdout
        self._stderr: Final = stderr
        self._draws: Final = stderr.isatty()
        self._drawn = 0

    def tell(self, sentence: str) -> None:
        """Say what is happening."""
        self._wipe()
        print(plain(sentence), file=self._stderr, flush=True)

    def progress(self, what: str, done: int, total: int) -> None:
        """One line drawn over itself on a terminal, nothing in a pipe."""
        if not self._draws:
            return
        text = f"{what}  {done}/{total}" if total else f"{what}  {done:,} bytes"
        text = text[: shutil.get_terminal_size().columns - 1]
        self._stderr.write("\r" + text.ljust(self._drawn))
        self._stderr.flush()
        self._drawn = len(text)

    def show_plan(self, plan: Plan) -> None:
        """Every change with its reason."""
        self._wipe()
        width = shutil.get_terminal_size().columns
        print(
            "\n".join(map(plain, plan_lines(plan, width))),
            file=self._stdout,
            flush=True,
        )

    def agrees(self, question: str) -> bool:
        """Only a typed yes is a yes."""
        return self.types(f"{question} [yes/no] ").strip().lower() in {"y", "yes"}

    def types(self, prompt: str) -> str:
        """A typed line; empty where nobody can type."""
        self._wipe()
        if not self._stdin.isatty():
            return ""
        print(plain(prompt), end="", file=self._stderr, flush=True)
        return self._stdin.readline().rstrip("\n")

    def whispers(self, prompt: str) -> str:
        """A typed line that does not show."""
        self._wipe()
        if not self._stdin.isatty():
            return ""
        return getpass(plain(prompt), self._stderr)

    def done(self) -> None:
        """Leave no half-drawn line behind."""
        self._wipe()

    def _wipe(self) -> None:
        if self._drawn:
            self._stderr.write("\r" + " " * self._drawn + "\r")
            self._stderr.flush()
            self._drawn = 0

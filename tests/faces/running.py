"""benchlink and the simulated aircraft as processes; every wait has a limit."""

import json
import os
import pty
import select
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final, final

WITHIN_S: Final = 40.0
CHECKOUT: Final = Path(__file__).resolve().parents[2]
Answer = Callable[[str], str | None]
"""What is typed at all that was said since the last answer; None: nothing yet."""

ORDINARY: Final = {k: v for k, v in os.environ.items() if k != "PYTHONUNBUFFERED"}
"""Output is buffered as it is for a user."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    code: int
    out: str
    err: str


@final
class Screen:
    """The other end of a terminal, as its window holds it."""

    def __init__(self, fd: int) -> None:
        self.fd: Final = fd
        self._open = True

    def close(self) -> None:
        """The window goes, once: the number may be another file's by now."""
        if self._open:
            self._open = False
            os.close(self.fd)


@final
class Workshop:
    """A user's own folders, and benchlink run inside them."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.home = folder / "home"
        self.simulated = self.home / "simulated"
        self.simulated.mkdir(parents=True)
        self.environment = {
            **ORDINARY,
            "HOME": str(folder),
            "TMPDIR": str(folder),
            "BENCHLINK_HOME": str(self.home),
            "PYTHONPATH": str(CHECKOUT),
            "COLUMNS": "100",
            "LANG": "C.UTF-8",
        }

    def run(self, *words: str) -> Outcome:
        """Run a verb in a pipe, where nobody can be asked."""
        done = subprocess.run(
            command(*words),
            cwd=self.folder,
            env=self.environment,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            timeout=WITHIN_S,
            check=False,
        )
        out, err = done.stdout.decode(), done.stderr.decode()
        assert "Traceback" not in out + err
        return Outcome(code=done.returncode, out=out, err=err)

    def start(self, *words: str) -> subprocess.Popen[str]:
        """Start a verb in a pipe and leave it running."""
        return subprocess.Popen(
            command(*words),
            cwd=self.folder,
            env=self.environment,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )

    def at_terminal(self, *words: str, answers: dict[str, str]) -> tuple[int, str]:
        """Run a verb at a terminal; answer each prompt once by what stands in it."""
        left = dict(answers)

        def answer(heard: str) -> str | None:
            found = [prompt for prompt in left if prompt in heard]
            return "\n".join(map(left.pop, found)) if found else None

        return self.converse(*words, answer=answer)

    def converse(
        self,
        *words: str,
        answer: Answer,
        within_s: float = WITHIN_S,
        started: Callable[[subprocess.Popen[bytes]], None] = lambda _: None,
    ) -> tuple[int, str]:
        """Run a verb at a terminal; gives its exit code and all that it said.

        `started` hears of the process, for whoever will end it.
        """
        with self.terminal(*words) as (process, screen):
            started(process)
            said = _converse(screen.fd, answer, within_s)
            return process.wait(within_s), said

    @contextmanager
    def terminal(
        self, *words: str
    ) -> Iterator[tuple[subprocess.Popen[bytes], "Screen"]]:
        """A verb at a terminal of its own, which Ctrl-C belongs to; killed at the end."""
        master, slave = pty.openpty()
        with subprocess.Popen(
            command(*words),
            cwd=self.folder,
            env=self.environment,
            stdin=slave,
            stdout=slave,
            stderr=slave,
            start_new_session=True,
        ) as process:
            os.close(slave)
            screen = Screen(master)
            try:
                yield process, screen
            finally:
                process.kill()
                screen.close()


def command(*words: str) -> list[str]:
    return [sys.executable, "-m", "benchlink", *words]


def first_line(process: subprocess.Popen[str], *, of_errors: bool = False) -> str:
    """The next line that a process prints."""
    stream = process.stderr if of_errors else process.stdout
    assert stream is not None
    line = b""
    # Byte by byte: a line that lies in Python's own buffer shows in no `select`.
    while not line.endswith(b"\n"):
        assert select.select([stream], [], [], WITHIN_S)[0], "no line in time"
        byte = os.read(stream.fileno(), 1)
        if not byte:
            break
        line += byte
    return line.decode().strip()


def _converse(screen: int, answer: Answer, within_s: float) -> str:
    said, looked = "", 0
    until = time.monotonic() + within_s
    while (left := until - time.monotonic()) > 0:
        if not select.select([screen], [], [], left)[0]:
            break
        try:
            data = os.read(screen, 65536)
        except OSError:
            return said
        if not data:
            return said
        said += data.decode("utf-8", "replace")
        typed = answer(said[looked:])
        if typed is not None:
            looked = len(said)
            os.write(screen, typed.encode() + b"\n")
    msg = f"the program did not end; it said {said!r}"
    raise AssertionError(msg)


@final
class Aircraft:
    """A running simulated aircraft, with the other hand on it."""

    def __init__(self, process: subprocess.Popen[bytes]) -> None:
        self.process = process
        self._read = b""
        self.port = self._line()

    def order(self, order: str) -> dict[str, object]:
        """Give an order and its answer."""
        assert self.process.stdin is not None
        self.process.stdin.write(order.encode() + b"\n")
        self.process.stdin.flush()
        line = self._line()
        while not line.startswith("{"):
            line = self._line()
        answer: dict[str, object] = json.loads(line)
        return answer

    def live(self) -> dict[str, object]:
        """All live values but the clock."""
        values = self.order("live")
        del values["board.uptime_s"]
        return values

    def received(self) -> int:
        """Bytes that came from a host since the last reset of the counters."""
        count = self.order("counters")["received"]
        assert isinstance(count, int)
        return count

    def await_word(self, word: str) -> None:
        """Wait until the board was told a line that begins with `word`."""
        until = time.monotonic() + WITHIN_S
        while time.monotonic() < until:
            lines = self.order("received")["received"]
            assert isinstance(lines, list)
            if any(str(line).startswith(word) for line in lines):
                return
        msg = f"nobody said {word!r} in time"
        raise AssertionError(msg)

    def _line(self) -> str:
        assert self.process.stdout is not None
        fd = self.process.stdout.fileno()
        while b"\n" not in self._read:
            assert select.select([fd], [], [], WITHIN_S)[0], "no line in time"
            data = os.read(fd, 65536)
            assert data, "the aircraft has ended"
            self._read += data
        line, _, self._read = self._read.partition(b"\n")
        return line.decode().strip()


@contextmanager
def aircraft(workshop: Workshop, *options: str) -> Iterator[Aircraft]:
    """An aircraft that announces itself in the workshop, switched off afterwards."""
    announcement = workshop.simulated / "x.json"
    with subprocess.Popen(
        [
            *(sys.executable, "-m", "mocks", "--until-eof"),
            *("--announce", str(announcement), *options),
        ],
        cwd=CHECKOUT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    ) as process:
        try:
            yield Aircraft(process)
        finally:
            assert process.stdin is not None
            process.stdin.close()
            with suppress(subprocess.TimeoutExpired):
                process.wait(WITHIN_S)
            process.kill()


def clean(text: str) -> bool:
    """Nothing in it that a terminal would obey or not show."""
    return all(char.isprintable() or char == "\n" for char in text)

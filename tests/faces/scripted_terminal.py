"""A verb at a terminal, where a hand at the bench acts before each answer."""

import os
import pty
import select
import subprocess
import time
from collections.abc import Callable, Sequence

from tests.faces.running import WITHIN_S, Workshop, command

Step = tuple[str, Callable[[], object], str]
"""What the prompt holds, what is done at the bench then, and what is typed."""


def nothing() -> None:
    """The hand rests."""


def at_terminal(
    workshop: Workshop, words: Sequence[str], steps: Sequence[Step]
) -> tuple[int, str]:
    """Run a verb; each step in its order, once its prompt stands there."""
    master, slave = pty.openpty()
    with subprocess.Popen(
        command(*words),
        cwd=workshop.folder,
        env=workshop.environment,
        stdin=slave,
        stdout=slave,
        stderr=slave,
        start_new_session=True,
    ) as process:
        os.close(slave)
        try:
            said = _play(master, list(steps))
            return process.wait(WITHIN_S), said
        finally:
            process.kill()
            os.close(master)


def _play(master: int, steps: list[Step]) -> str:
    said, looked = "", 0
    until = time.monotonic() + WITHIN_S
    while (left := until - time.monotonic()) > 0:
        if not select.select([master], [], [], left)[0]:
            break
        try:
            data = os.read(master, 65536)
        except OSError:
            data = b""
        if not data:
            assert not steps, f"never asked {steps[0][0]!r}; it said {said!r}"
            return said
        said += data.decode()
        if steps and steps[0][0] in said[looked:]:
            _, act, typed = steps.pop(0)
            looked = len(said)
            act()
            os.write(master, typed.encode() + b"\n")
    msg = f"the program did not end; it said {said!r}"
    raise AssertionError(msg)

"""`python -m tests.bench.loop_watch PORT PROFILE FILE`: the full screen, its event loop watched.

The real program on a real terminal, with one task more: it sleeps a moment, again and
again, and notes each time when it was woken late. FILE gets the times as JSON at the end.
"""

import asyncio
import json
import sys
import time
from pathlib import Path
from typing import Final, final

from textual.pilot import Pilot

from benchlink.faces.arguments import Given, parser
from benchlink.faces.screen.app import BenchApp
from benchlink.faces.screen.program import tidy
from benchlink.faces.screen.threads.mailbox import Mailbox
from benchlink.faces.screen.threads.work import WorkThread
from benchlink.faces.verbs.full_screen import WiredEntrance
from tests.bench.at_bench import CONSOLE

BEAT_S: Final = 0.001
NOTED_S: Final = 0.002
"""Less is what the system's own clock and scheduler cost."""


@final
class LoopWatch:
    """Notes when the loop was held up, and for how long (monotonic seconds)."""

    def __init__(self) -> None:
        self.late: Final[list[tuple[float, float]]] = []
        self._task: asyncio.Task[None] | None = None

    async def begin(self, pilot: Pilot[object]) -> None:  # noqa: ARG002 - textual's shape
        """Watch the loop that this runs on, to its end."""
        self._task = asyncio.create_task(self._beat())

    async def _beat(self) -> None:
        while True:
            due_s = time.monotonic() + BEAT_S
            await asyncio.sleep(BEAT_S)
            woken_s = time.monotonic()
            if woken_s - due_s > NOTED_S:
                self.late.append((woken_s, woken_s - due_s))


def main(port: str, profile: str, file: str) -> int:
    """Run until the person leaves."""
    words = ["--port", port, "--console", CONSOLE, "--profile", profile]
    given = parser().parse_args(words, namespace=Given())
    mailbox, watch = Mailbox(), LoopWatch()
    work = WorkThread(mailbox.post)
    app = BenchApp(WiredEntrance(given), mailbox, work)
    work.start()
    try:
        app.run(mouse=False, auto_pilot=watch.begin)
    finally:
        app.abandon()
        tidy(mailbox, work)
    Path(file).write_text(json.dumps(watch.late), encoding="utf-8")
    return app.return_code or 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))

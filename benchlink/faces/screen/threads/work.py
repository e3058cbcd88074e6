"""The work thread: one workflow at a time, each reporting one piece of news."""

import queue
import threading
from collections.abc import Callable
from typing import TYPE_CHECKING, Final, Protocol, final

from benchlink.errors import BenchError, DeclinedError

if TYPE_CHECKING:
    from benchlink.faces.screen.threads.news import Errand, News
    from benchlink.faces.wiring import Bench
    from benchlink.units import Seconds

Job = Callable[[], "News"]
Post = Callable[["News"], None]

INTERRUPTED: Final = (
    "What was begun was put back, or is told as unfinished when the board is met again."
)


class Work(Protocol):
    """Where errands are handed over."""

    def give(self, errand: "Errand", job: Job, bench: "Bench | None" = None) -> None:
        """Queue a job; its news, or its failure, is posted when it is done."""
        ...


def carry_out(errand: "Errand", job: Job, bench: "Bench | None") -> "News":
    """Do a job; whatever goes wrong is news as well."""
    from benchlink.faces.screen.threads.news import Broke, Failed  # noqa: PLC0415 - first paint

    try:
        return job()
    except BenchError as exc:
        return Failed(errand=errand, error=exc, bench=bench)
    except KeyboardInterrupt:
        ended = DeclinedError("it was ended before it was through", hint=INTERRUPTED)
        return Failed(errand=errand, error=ended, bench=bench)
    except Exception as exc:  # noqa: BLE001 - a dead thread leaves the screen waiting
        return Broke(error=exc)


@final
class WorkThread:
    """A daemon thread, so that a board that hangs cannot hold up the exit."""

    def __init__(self, post: Post) -> None:
        self._post: Final = post
        self._queue: Final[
            queue.SimpleQueue[tuple[Errand, Job, Bench | None] | None]
        ] = queue.SimpleQueue()
        self._thread: Final = threading.Thread(
            target=self._run, name="work", daemon=True
        )

    def start(self) -> None:
        """Begin to take jobs."""
        self._thread.start()

    def give(self, errand: "Errand", job: Job, bench: "Bench | None" = None) -> None:
        """Queue a job."""
        self._queue.put((errand, job, bench))

    def finish(self, within: "Seconds") -> bool:
        """End after the jobs at hand; False when that takes longer than `within`."""
        self._queue.put(None)
        self._thread.join(within)
        return not self._thread.is_alive()

    def _run(self) -> None:
        while (given := self._queue.get()) is not None:
            self._post(carry_out(*given))


def aside(job: Callable[[], None]) -> None:
    """Let go of a board on a thread of its own: `work` may be waiting for it."""
    threading.Thread(target=job, name="closing", daemon=True).start()


def on_a_thread(job: Callable[[], None]) -> None:
    """Carry out what hands do at a simulated aircraft where nobody waits for it."""
    threading.Thread(target=job, name="hands", daemon=True).start()

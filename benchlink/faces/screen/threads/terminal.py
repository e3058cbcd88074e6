"""The terminal as textual drives it: never waited for, and given up when it is gone."""

import select
import time
from typing import Final, final

from textual.drivers.linux_driver import LinuxDriver

from benchlink.faces.screen.threads.output import Output
from benchlink.units import Seconds

GONE: Final = select.POLLHUP | select.POLLERR


@final
class Terminal(LinuxDriver):
    """Its own writer stays without work: that one may stop the event loop."""

    _output: Output | None = None
    _unread = False
    """Whether reading from it has failed."""
    _spilt = False
    """Whether it had not taken all when it was let go of."""

    @property
    def waiting(self) -> int:
        """Bytes that it has not taken yet."""
        return self._output.waiting if self._output else 0

    @property
    def stalled(self) -> bool:
        """Whether it takes nothing."""
        return self._output is not None and self._output.stalled

    @property
    def gone(self) -> bool:
        """Whether it is there no more: what is read and written then fails, or is empty."""
        broken = self._output is not None and self._output.broken
        return self._unread or broken or _hung_up(self.fileno)

    @property
    def takes_nothing(self) -> bool:
        """Whether what is written to it would not be read, and might never be over."""
        return self._spilt or self.gone or self.stalled

    def start_application_mode(self) -> None:
        """Begin to write before anything is written."""
        if self._file is not None:
            fd = self._file.fileno()
            self._output = Output(fd, lambda: Seconds(time.monotonic()))
        super().start_application_mode()  # type: ignore[no-untyped-call] # by textual

    def write(self, data: str) -> None:
        """Send it some time."""
        file = self._file
        if self._output is not None and file is not None:
            self._output.write(data.encode(file.encoding, file.errors or "replace"))

    def run_input_thread(self) -> None:
        """Read keys until the end, or until there is nothing to read from."""
        try:
            super().run_input_thread()
        except OSError:
            self._unread = True

    def give_up(self) -> None:
        """Read no more: a terminal that is gone has always something to read, which is nothing."""
        self.exit_event.set()

    def close(self) -> None:
        """Let go of it, whether it takes the last of it or not."""
        super().close()
        if self._output is not None:
            self._spilt = not self._output.finish()


def _hung_up(fd: int) -> bool:
    poll = select.poll()
    poll.register(fd, 0)
    return any(event & GONE for _, event in poll.poll(0))

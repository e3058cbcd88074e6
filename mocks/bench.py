"""One aircraft on the bench: the board, its line, its port, and what is counted.

Moves bytes when told to and waits for nothing; the waiting is done in `serve`.
"""

import os
from typing import TYPE_CHECKING, Final, final

from .counters import Counters
from .fault_events import Path
from .fault_restarts import AWAY_US
from .options import Options, WireKind
from .ptyport import PtyPort
from .tcpport import TcpPort
from .uart import Line

if TYPE_CHECKING:
    from .announcement import Announcement
    from .device import Device
    from .port import Port

READ_AHEAD: Final = 4096
"""Bytes taken from the client before the wire has carried them."""
SEND_AHEAD: Final = 1 << 20
"""Bytes that may wait for a client that does not read."""


@final
class Bench:
    """The board and everything that hangs on it."""

    def __init__(
        self, options: Options, device: "Device", announcement: "Announcement"
    ) -> None:
        self.device = device
        self.counters = Counters()
        self.ending = False
        self.port: Port = PtyPort() if options.wire is WireKind.PTY else TcpPort()
        self._line = Line(device, options)
        self._announcement = announcement
        self._follows_boots = options.reenumerate
        self._boots = device.boots
        self._pulls = 0
        self._away = False
        self._back_us: int | None = None
        self._unsent = b""
        announcement.show(self.port.name)
        tell(self.port.name)

    def watch(self) -> tuple[int, ...]:
        """File descriptors to read from; none while too much waits already."""
        full = self._line.on_the_way >= READ_AHEAD or len(self._unsent) >= SEND_AHEAD
        return () if full else self.port.watch()

    def room(self) -> tuple[int, ...]:
        """The file descriptor to write to, when something waits."""
        fd = self.port.room() if self._unsent else None
        return () if fd is None else (fd,)

    def next_us(self, now_us: int) -> int | None:
        """When to call `run` again without being woken by a file descriptor."""
        due = self._line.next_us(now_us)
        if self._back_us is None or due is None:
            return self._back_us if due is None else due
        return min(due, self._back_us)

    def read(self, now_us: int, clock_us: int) -> None:
        """Take what the client has sent. `clock_us` goes into the counters."""
        data = self.port.read()
        self.counters.count_received(len(data), clock_us)
        self._line.to_board(data, now_us)

    def run(self, now_us: int, clock_us: int) -> None:
        """Let the board work, and send what it has said."""
        self._unsent += self._line.from_board(now_us)
        self._send(clock_us)
        self._follow_boots(now_us)
        self._follow_cable()
        if self._back_us is not None and now_us >= self._back_us:
            self.replug(now_us)

    def unplug(self, now_us: int) -> None:
        """Pull the cable: the port goes, and what is on the way is lost."""
        self._unplug()
        self._line.unplug(now_us)
        self._unsent = b""
        self._back_us = None

    def replug(self, now_us: int) -> None:
        """Put the cable in again: a port with another name."""
        if self.port.name:
            self.unplug(now_us)
        self._back_us = None
        self._line.put_in(now_us)
        self._plug(Path.OTHER)

    def reset_counters(self) -> None:
        """Count anew."""
        self.counters = Counters()
        self.device.reset_counts()

    def close(self) -> None:
        """Give the port back."""
        self._announcement.remove()
        self.port.close()

    def _send(self, clock_us: int) -> None:
        if not self._unsent:
            return
        if self.port.room() is None:
            self._unsent = b""
            return
        sent = self.port.write(self._unsent)
        self._unsent = self._unsent[sent:]
        self.counters.count_sent(sent, clock_us)

    def _plug(self, path: Path) -> None:
        self._away = False
        self.port.plug(path)
        self._announcement.show(self.port.name)
        tell(f"port {self.port.name}")

    def _unplug(self) -> None:
        """A port that has gone is announced no longer: no list shows it."""
        self.port.unplug()
        self._announcement.remove()

    def _follow_cable(self) -> None:
        """Do with the port what a fault did with the line."""
        line = self._line
        if line.pulls != self._pulls:
            self._pulls = line.pulls
            self._unplug()
            self._unsent = b""
            self._back_us = None
            self._away = True
        if self._away and line.plugged:
            self._plug(line.path)

    def _follow_boots(self, now_us: int) -> None:
        if self.device.boots == self._boots:
            return
        self._boots = self.device.boots
        if self._follows_boots and self.port.name:
            self.unplug(now_us)
            self._back_us = now_us + AWAY_US


def tell(line: str) -> None:
    """Print a line; a reader that has gone is no reason to stop."""
    try:
        os.write(1, f"{line}\n".encode())
    except OSError:
        return

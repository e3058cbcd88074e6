"""A wire with a recording at its other end: `replay://FILE`."""

from typing import TYPE_CHECKING, Final, Protocol, final

from benchlink.link.bell import Bell
from benchlink.link.ports import PortIdentity
from benchlink.link.trouble import lost

if TYPE_CHECKING:
    from benchlink.units import Baud


class Played(Protocol):
    """What plays the board."""

    @property
    def lost(self) -> bool:
        """Whether the port goes away now."""
        ...

    def sent(self, data: bytes) -> None:
        """Take what is sent."""
        ...

    def hear(self) -> bytes:
        """The next chunk the board said by now; empty when it waits."""
        ...


@final
class ReplayWire:
    """As fast as it is read: nothing paces it. One recorded chunk a read."""

    def __init__(self, played: Played, device: PortIdentity) -> None:
        self._played: Final = played
        self._bell: Final = Bell()
        self._open = True
        self.device: Final = device
        self.speed: Final[Baud | None] = None
        self._next = b""
        self._look()

    def fileno(self) -> int:
        """To wait for it with other things."""
        return self._bell.fileno()

    def read_ready(self) -> bytes:
        """What is there now, perhaps nothing.

        Raises:
            PortLostError: it was lost here when it was recorded.
        """
        data = self._next
        if not data and self._played.lost:
            raise lost(self.device.url)
        self._bell.hush()
        self._look()
        return data

    def write(self, data: bytes) -> int:
        """Compare it with what was sent.

        Raises:
            ReplayError: it is something else.
        """
        self._played.sent(data)
        if not self._next:
            self._look()
        return len(data)

    def close(self) -> None:
        """Let go."""
        if self._open:
            self._open = False
            self._bell.close()

    def _look(self) -> None:
        """Find what is to be read next; what may be read rings the bell."""
        self._next = self._played.hear()
        if self._next or self._played.lost:
            self._bell.ring()

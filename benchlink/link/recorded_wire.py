"""A wire that tells what goes over it, byte for byte."""

from collections.abc import Callable
from typing import Final, final

from benchlink.errors import PortLostError
from benchlink.link.recording_text import Way
from benchlink.link.wire import Wire

Note = Callable[[Way, bytes], None]
"""Takes bytes that have just gone one way; never waits."""


@final
class RecordedWire:
    """Does all that its wire does; what was not taken by the system was not sent."""

    def __init__(self, wire: Wire, note: Note, lost: Callable[[str], None]) -> None:
        """Tell bytes to `note`, and the port's loss to `lost`, once."""
        self._wire: Final = wire
        self._note: Final = note
        self._lost: Final = lost
        self._gone = False
        self.speed: Final = wire.speed
        self.device: Final = wire.device

    def fileno(self) -> int:
        """To wait for it with other things."""
        return self._wire.fileno()

    def read_ready(self) -> bytes:
        """What is there now, perhaps nothing."""
        try:
            data = self._wire.read_ready()
        except PortLostError:
            self._went()
            raise
        if data:
            self._note(Way.HEARD, data)
        return data

    def write(self, data: bytes) -> int:
        """Hand over what fits now."""
        try:
            taken = self._wire.write(data)
        except PortLostError:
            self._went()
            raise
        if taken:
            self._note(Way.SENT, data[:taken])
        return taken

    def close(self) -> None:
        """Let go."""
        self._wire.close()

    def _went(self) -> None:
        if not self._gone:
            self._gone = True
            self._lost(self.device.url)

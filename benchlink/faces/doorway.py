"""Where the wires of a session come from: kept from others, recorded, replayed."""

from collections.abc import Callable, Mapping
from contextlib import ExitStack
from pathlib import Path
from typing import Final, final
from urllib.parse import quote

from benchlink.errors import FileError, HeldError, PortBusyError
from benchlink.link.address import same_address
from benchlink.link.clock import Clock
from benchlink.link.ports import PortIdentity
from benchlink.link.recorder import Recorder
from benchlink.link.recording_text import Heading
from benchlink.link.replay import Replay
from benchlink.link.wire import Wire, open_wire
from benchlink.store.locks import hold
from benchlink.units import Baud


@final
class Doorway:
    """One board at a time; other benchlinks are kept out until it is closed."""

    def __init__(
        self,
        locks: Path,
        who: str,
        tell: Callable[[str], None],
        replay: Replay | None = None,
    ) -> None:
        """Lock in the folder `locks`, as `who`; `tell` takes a sentence where that fails.

        With `replay` nothing is locked, and every wire leads to that recording.
        """
        self._locks: Final = locks
        self._who: Final = who
        self._tell: Final = tell
        self._replay: Final = replay
        self._address = ""
        self._held = ExitStack()
        self._recorder: Recorder | None = None

    def keep_others_out(self, url: str) -> None:
        """Take the lock of a board; one that is held for another address is let go.

        Raises:
            PortBusyError: another benchlink has it; says who.
        """
        if self._replay is not None:
            return
        address = same_address(url)
        if address == self._address:
            return
        taken = ExitStack()
        self._lock(taken, address, url)
        self._held.close()
        self._held, self._address = taken, address

    def open_wire(self, url: str, speed: Baud, device: PortIdentity) -> Wire:
        """Open a port.

        Raises:
            LinkError: it does not open, or another benchlink has it.
        """
        self.keep_others_out(url)
        replay = self._replay
        wire = replay.open(device) if replay else open_wire(url, speed, device)
        return self._recorder.over(wire) if self._recorder else wire

    def record(
        self, path: Path, heading: Heading, secrets: Mapping[str, str], clock: Clock
    ) -> None:
        """Write down what goes over every wire from now on, without the secrets.

        Raises:
            FileError: the file is there already, or cannot be written.
        """
        self._recorder = Recorder(
            path, heading, clock=clock, tell=self._tell, secrets=secrets
        )

    def restarted(self, epoch: int) -> None:
        """The board was told to restart."""
        if self._recorder:
            self._recorder.restarted(epoch)

    def close(self) -> None:
        """End the recording and let others in."""
        if self._recorder:
            self._recorder.close()
        self._held.close()

    def _lock(self, taken: ExitStack, address: str, url: str) -> None:
        file = self._locks / quote(address, safe="")
        try:
            held = taken.enter_context(hold(file, f"{self._who} at {url}"))
        except HeldError as exc:
            msg = f"the board at {url} is in use by {exc.holder}"
            hint = "Nothing was sent. Let that one end, or end it, and run this again."
            raise PortBusyError(msg, hint=hint) from exc
        except FileError as exc:
            self._tell(f"A second benchlink is not kept out of {url}: {exc}")
        else:
            if held.caution:
                self._tell(held.caution)

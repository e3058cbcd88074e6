"""Writes down what goes over the wires of one session, while it goes.

The link thread only notes a chunk and its time (measured: 1 us); another thread,
named recorder, withholds the secrets and writes every `FLUSH_EVERY`. A disk that is
slow, full or gone can so never hold up a stop: it ends the recording, and a sentence
says so. A chunk that may hold the beginning of a secret waits for the next one, and
all that follows with it, so that the order in the file is the order on the wire.
"""

import hashlib
import os
import threading
from collections import deque
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final, final

from benchlink.errors import FileError
from benchlink.link.clock import Clock
from benchlink.link.recorded_wire import RecordedWire
from benchlink.link.recording_text import (
    Ending,
    Entry,
    Happening,
    Heading,
    Mark,
    Spoken,
    Totals,
    Way,
    end_line,
    entry_line,
    heading_line,
)
from benchlink.link.wire import Wire
from benchlink.link.withholding import Withholding
from benchlink.units import Seconds

LIMIT_BYTES: Final = 64 << 20
"""64 MiB: an hour and a half of a wire that never rests at 115,200 baud."""

END_ROOM: Final = 512
"""Bytes of the limit that are left for the end line."""

FLUSH_EVERY: Final = Seconds(0.5)
"""How much a crash of the whole program can lose."""

END_WITHIN: Final = Seconds(2.0)
"""How long letting go of a board waits for a disk that takes nothing."""


@dataclass(frozen=True, slots=True)
class _Draft:
    """A chunk or a mark on its way to the file."""

    entry: Entry
    shown: bytearray = field(default_factory=bytearray)
    """What is left of a chunk without the secrets in it."""


@final
class Recorder:
    """One file; the link thread notes, its own thread writes."""

    def __init__(
        self,
        path: Path,
        heading: Heading,
        *,
        clock: Clock,
        tell: Callable[[str], None],
        secrets: Mapping[str, str] | None = None,
        limit_bytes: int = LIMIT_BYTES,
    ) -> None:
        """Make the file; `tell` takes a sentence where the recording ends early.

        Raises:
            FileError: it is there already, or cannot be written.
        """
        self._path: Final = path
        self._clock: Final = clock
        self._tell: Final = tell
        self._room = limit_bytes - END_ROOM
        self._limit_bytes: Final = limit_bytes
        self._withholding: Final = {way: Withholding(secrets or {}) for way in Way}
        self._noted: Final[deque[Entry]] = deque()
        self._drafts: Final[deque[_Draft]] = deque()
        self._hash: Final = hashlib.sha256()
        self._entries = 0
        self._bytes: Final = dict.fromkeys(Way, 0)
        self._opened = 0
        self._over = False
        self._closing: Final = threading.Event()
        self._start: Final = clock()
        self._file: Final = _made(path)
        try:
            self._write(heading_line(heading))
        except OSError as exc:
            os.close(self._file)
            path.unlink()
            raise _refusal(path, exc) from exc
        self._thread: Final = threading.Thread(
            target=self._run, name="recorder", daemon=True
        )
        self._thread.start()

    def over(self, wire: Wire) -> Wire:
        """The same wire, with all that goes over it noted."""
        self._opened += 1
        again = self._opened > 1
        what = Happening.REOPENED if again else Happening.OPENED
        self._mark(what, port=wire.device.url, speed=wire.speed)
        return RecordedWire(wire, self.note, self._lost)

    def note(self, way: Way, data: bytes) -> None:
        """Bytes that have just come or gone; never waits."""
        if not self._over:
            self._noted.append(Spoken(self._now_ms(), way, data))

    def restarted(self, epoch: int) -> None:
        """The board was told to restart."""
        self._mark(Happening.RESTARTED, epoch=epoch)

    def close(self) -> None:
        """Write the rest and the end; a file that recorded no port is taken away."""
        self._closing.set()
        self._thread.join(END_WITHIN)
        if self._thread.is_alive():
            self._over = True
            self._say("is cut off: the disk does not answer")
        elif not self._opened:
            with suppress(OSError):
                self._path.unlink()

    def _say(self, what: str) -> None:
        with suppress(OSError):  # nobody may be left to hear it
            self._tell(f"The recording {self._path} {what}.")

    def _lost(self, port: str) -> None:
        self._mark(Happening.LOST, port=port)

    def _mark(
        self,
        what: Happening,
        *,
        port: str = "",
        speed: int | None = None,
        epoch: int = 0,
    ) -> None:
        if not self._over:
            at_ms = self._now_ms()
            self._noted.append(
                Mark(at_ms=at_ms, what=what, port=port, speed=speed, epoch=epoch)
            )

    def _now_ms(self) -> float:
        return (self._clock() - self._start) * 1000

    # From here on: the recorder's own thread.

    def _run(self) -> None:
        try:
            while not self._closing.wait(FLUSH_EVERY):
                self._flush()
            self._flush()
            self._settle()
            self._write_settled()
            if not self._over:
                self._end(Ending.COMPLETE)
        except OSError as exc:
            self._over = True
            self._say(f"ends here: {exc.strerror or exc}. All else goes on")
        finally:
            os.close(self._file)
            self._noted.clear()

    def _flush(self) -> None:
        while self._noted and not self._over:
            entry = self._noted.popleft()
            draft = _Draft(entry)
            if isinstance(entry, Spoken):
                self._withholding[entry.way].feed(entry.data, draft.shown)
            elif entry.what is not Happening.RESTARTED:
                self._settle()
            self._drafts.append(draft)
        self._write_settled()

    def _settle(self) -> None:
        """No more bytes will follow on this wire."""
        for one in self._withholding.values():
            one.settle()

    def _write_settled(self) -> None:
        lines = bytearray()
        while self._drafts and not self._over and not self._waits(self._drafts[0]):
            entry = _shown(self._drafts.popleft())
            if entry is None:
                continue
            line = entry_line(entry)
            if len(lines) + len(line) > self._room:
                self._write(lines)
                self._end(Ending.LIMIT)
                return
            lines += line
            self._entries += 1
            if isinstance(entry, Spoken):
                self._bytes[entry.way] += len(entry.data)
        self._write(lines)

    def _waits(self, draft: _Draft) -> bool:
        return any(one.holds_back(draft.shown) for one in self._withholding.values())

    def _end(self, ending: Ending) -> None:
        self._over = True
        totals = Totals(
            entries=self._entries,
            sent_bytes=self._bytes[Way.SENT],
            heard_bytes=self._bytes[Way.HEARD],
            withheld=sum(one.count for one in self._withholding.values()),
        )
        self._write(end_line(ending, totals, self._hash.hexdigest()))
        if ending is Ending.LIMIT:
            self._noted.clear()
            size = f"{self._limit_bytes / (1 << 20):g} MiB"
            self._say(
                f"ends here: it has reached its limit of {size}. All else goes on"
            )

    def _write(self, data: bytes | bytearray) -> None:
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(self._file, rest) :]
        self._hash.update(data)
        self._room -= len(data)


def _shown(draft: _Draft) -> Entry | None:
    """As it may be written; None for the middle of a secret."""
    entry = draft.entry
    if not isinstance(entry, Spoken):
        return entry
    if not draft.shown:
        return None
    return Spoken(entry.at_ms, entry.way, bytes(draft.shown))


def require_new(path: Path) -> None:
    """Refuse a recording that is there already, before anything else is asked.

    Raises:
        FileError: it is.
    """
    if path.exists():
        raise _taken(path)


def _made(path: Path) -> int:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    try:
        return os.open(path, flags, 0o666)
    except FileExistsError:
        raise _taken(path) from None
    except OSError as exc:
        raise _refusal(path, exc) from exc


def _taken(path: Path) -> FileError:
    msg = f"{path} is there already"
    hint = "Nothing was sent. Recordings are never overwritten: name another file."
    return FileError(msg, hint=hint)


def _refusal(path: Path, exc: OSError) -> FileError:
    msg = f"{path} cannot be written: {exc.strerror or exc}"
    return FileError(msg, hint="Nothing was sent. Name a file where there is room.")

"""A recording put to use as a board: it says what the board said to the same bytes.

Strict: what is sent must be what was sent then, byte for byte and in that order, though
perhaps earlier: nobody waits here for a wire. What the board said is given out once all
that was sent before it has been sent again. Each wire of the recording is one part;
opening the port again goes on with the next.
"""

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final, final

from benchlink.errors import NoPortError, ReplayError
from benchlink.link.ports import PortIdentity
from benchlink.link.recording_reader import load
from benchlink.link.recording_text import (
    ONE_CHARACTER_A_BYTE,
    Ending,
    Entry,
    Happening,
    Mark,
    Recording,
    Spoken,
    Way,
    stand_in,
)
from benchlink.link.replay_wire import ReplayWire

SCHEME: Final = "replay://"
SHOWN_BYTES: Final = 60
OPENINGS: Final = frozenset({Happening.OPENED, Happening.REOPENED})

Numbered = tuple[int, Entry]
"""An entry and its number, counted from 1 behind the heading."""

PLAYED: Final = (
    "Nothing reached a board. A recording answers only what was done when it was made, by"
    " the same version and console description."
)
"""What is safe when a recording cannot play the board any further."""


@final
class Part:
    """What went over one wire."""

    def __init__(self, name: str, entries: Sequence[Numbered], after: str) -> None:
        """Play `entries`; `after` says what comes behind the last one."""
        self._name: Final = name
        self._entries: Final = entries
        self._after: Final = after
        self._compared = 0
        """Entries before this one were sent again, or are not of that kind."""
        self._offset = 0
        """Bytes of that entry which were sent again."""
        self._given = 0
        """Entries before this one were given out, or passed by."""

    def sent(self, data: bytes) -> None:
        """Compare what is sent with what was.

        Raises:
            ReplayError: it is something else; tells the entry.
        """
        rest = data
        while rest:
            number, expected = self._expected()
            count = min(len(expected), len(rest))
            if not count:
                raise self._trouble(self._after, b"", data)
            if rest[:count] != expected[:count]:
                words = f"entry {number} is not what is sent now"
                raise self._trouble(words, expected, rest)
            self._offset += count
            rest = rest[count:]

    def hear(self) -> bytes:
        """The next chunk that the board said by now; empty when it waits."""
        while self._given < len(self._entries):
            _, entry = self._entries[self._given]
            if self._is_due(entry):
                self._given += 1
                if isinstance(entry, Spoken) and entry.way is Way.HEARD:
                    return entry.data
            else:
                break
        return b""

    @property
    def lost(self) -> bool:
        """Whether the port goes away now."""
        if self._given == len(self._entries):
            return False
        _, entry = self._entries[self._given]
        return isinstance(entry, Mark) and entry.what is Happening.LOST

    def _is_due(self, entry: Entry) -> bool:
        if isinstance(entry, Mark):
            return entry.what is not Happening.LOST
        if entry.way is Way.HEARD:
            return True
        self._expected()
        return self._given < self._compared

    def _expected(self) -> tuple[int, bytes]:
        """The entry that has to be sent next, and what of it is left."""
        while self._compared < len(self._entries):
            number, entry = self._entries[self._compared]
            if isinstance(entry, Spoken) and entry.way is Way.SENT:
                rest = entry.data[self._offset :]
                if rest:
                    return number, rest
            self._compared += 1
            self._offset = 0
        return 0, b""

    def _trouble(self, words: str, expected: bytes, sent: bytes) -> ReplayError:
        recorded = (f"recorded: {_shown(expected)}",) if expected else ()
        return ReplayError(
            f"the recording {self._name} cannot answer this: {words}",
            details=(*recorded, f"sent:     {_shown(sent)}"),
            hint=PLAYED,
        )


@final
class Replay:
    """All parts of a recording, one after the other."""

    def __init__(self, recording: Recording, name: str) -> None:
        self.recording: Final = recording
        self.name: Final = name
        self._parts = iter(_parts(recording, name))

    def open(self, device: PortIdentity) -> ReplayWire:
        """The next wire.

        Raises:
            NoPortError: there was no further one.
        """
        part = next(self._parts, None)
        if part is None:
            again = " again" if self.recording.entries else ""
            msg = f"the port was not opened{again} in the recording {self.name}"
            raise NoPortError(msg, hint="It ends there. Nothing reached a board.")
        return ReplayWire(part, device)

    def told(self) -> Mapping[str, str]:
        """What the person had answered; a stand-in where that was a secret."""
        heading = self.recording.heading
        return {**heading.told, **{name: stand_in(name) for name in heading.withheld}}


def replay_of(url: str) -> Replay | None:
    """The recording that `replay://FILE` names; None for every other address.

    Raises:
        FileError: it cannot be read, or is damaged.
    """
    if not url.startswith(SCHEME):
        return None
    name = url.removeprefix(SCHEME)
    return Replay(load(Path(name)), name)


def board_text(recording: Recording) -> bytes:
    """All that the board said; what two wires brought begins a line of its own."""
    text = bytearray()
    for entry in recording.entries:
        if isinstance(entry, Mark):
            if entry.what in OPENINGS and text and not text.endswith(b"\n"):
                text += b"\r\n"
        elif entry.way is Way.HEARD:
            text += entry.data
    return bytes(text)


def _parts(recording: Recording, name: str) -> list[Part]:
    cut: list[list[Numbered]] = []
    for number, entry in enumerate(recording.entries, 1):
        if isinstance(entry, Mark) and entry.what in OPENINGS:
            cut.append([])
        if cut:
            cut[-1].append((number, entry))
    after = [_nothing_more(numbered) for numbered in cut]
    if after:
        after[-1] = _after_all(recording)
    return [Part(name, *both) for both in zip(cut, after, strict=True)]


def _nothing_more(numbered: Sequence[Numbered]) -> str:
    return f"nothing more was sent on that wire after entry {numbered[-1][0]}"


def _after_all(recording: Recording) -> str:
    count = len(recording.entries)
    match recording.ending:
        case None:
            return f"it is cut off after entry {count}"
        case Ending.LIMIT:
            return f"it reached its limit of size at entry {count}"
        case Ending.COMPLETE:
            return f"it ends with entry {count}, and nothing more was sent"


def _shown(data: bytes) -> str:
    text = json.dumps(data[:SHOWN_BYTES].decode(ONE_CHARACTER_A_BYTE))
    return text + (" ..." if len(data) > SHOWN_BYTES else "")

"""From the text of a recording back to its entries; a damaged one is refused."""

import hashlib
import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from enum import Enum
from pathlib import Path
from typing import Final, NoReturn, TypeVar, final

from benchlink.errors import FileError, Place, Problem
from benchlink.link.recording_text import (
    END_KEY,
    FORMAT,
    FORMAT_KEY,
    ONE_CHARACTER_A_BYTE,
    Ending,
    Entry,
    Happening,
    Heading,
    Mark,
    Recording,
    Spoken,
    Totals,
    Way,
)

MOST_BYTES: Final = 256 << 20
"""256 MiB: four times what a recording is cut off at."""

Told = Mapping[str, object]
Closed = TypeVar("Closed", bound=Enum)


class _WrongLineError(ValueError):
    """What is wrong with one line."""


def _refuse(what: str) -> NoReturn:
    raise _WrongLineError(what)


def looks_like_recording(head: bytes) -> bool:
    """Whether a file that begins with these bytes is a recording."""
    return head.lstrip().startswith(b'{"' + FORMAT_KEY.encode() + b'"')


def load(path: Path) -> Recording:
    """Read a recording, whole or cut off.

    Raises:
        FileError: it cannot be read, is none, or was damaged or edited.
    """
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as exc:
        msg = f"{path} cannot be read: {exc.strerror or exc}"
        raise FileError(msg, hint="Nothing was sent. Check the path.") from exc
    if len(data) > MOST_BYTES:
        msg = f"{path} is longer than any recording"
        raise FileError(msg, hint="Nothing was used from it. Is this the file meant?")
    return parse(data, str(path))


def parse(data: bytes, name: str) -> Recording:
    """The entries of a recording, whole or cut off.

    Raises:
        FileError: it is none, or was damaged or edited; says in which line.
    """
    *lines, cut = data.split(b"\n")
    reading = _Reading()
    number = 1
    try:
        for number, line in enumerate(lines, 1):  # noqa: B007 - told where it fails
            reading.take(line)
        if cut and reading.ending is not None:
            number += 1
            reading.take(cut)
        return reading.recording()
    except _WrongLineError as exc:
        msg = f"{name} is damaged, was edited, or is no recording"
        problem = Problem(Place(name, number), f"this line {exc}")
        hint = "Nothing was used from it, and nothing was sent."
        raise FileError(msg, hint=hint, problems=(problem,)) from exc


@final
class _Reading:
    """What the lines so far have told."""

    def __init__(self) -> None:
        self.ending: Ending | None = None
        self._heading: Heading | None = None
        self._entries: Final[list[Entry]] = []
        self._hash: Final = hashlib.sha256()

    def take(self, line: bytes) -> None:
        if self.ending is not None:
            _refuse("stands behind the end")
        told = _told(line)
        if self._heading is None:
            self._heading = _heading(told)
        elif END_KEY in told:
            _check_end(told, self._entries, self._hash.hexdigest())
            self.ending = _closed(told, END_KEY, Ending)
        else:
            self._entries.append(_entry(told))
        self._hash.update(line + b"\n")

    def recording(self) -> Recording:
        if self._heading is None:
            _refuse("is no whole heading of a recording")
        return Recording(
            heading=self._heading, entries=tuple(self._entries), ending=self.ending
        )


def totals_of(entries: Sequence[Entry], withheld: int) -> Totals:
    """What entries come to."""
    spoken = [entry for entry in entries if isinstance(entry, Spoken)]
    return Totals(
        entries=len(entries),
        sent_bytes=sum(len(one.data) for one in spoken if one.way is Way.SENT),
        heard_bytes=sum(len(one.data) for one in spoken if one.way is Way.HEARD),
        withheld=withheld,
    )


def _check_end(told: Told, entries: Sequence[Entry], sha256: str) -> None:
    counted = totals_of(entries, _whole(told, "withheld"))
    said = Totals(
        entries=_whole(told, "entries"),
        sent_bytes=_whole(told, "sent_bytes"),
        heard_bytes=_whole(told, "heard_bytes"),
        withheld=counted.withheld,
    )
    if said != counted:
        _refuse("counts other entries than there are")
    if _text(told, "sha256") != sha256:
        _refuse("holds another hash than the lines before it have")


def _heading(told: Told) -> Heading:
    if told.get(FORMAT_KEY) != FORMAT:
        _refuse(f"does not begin a recording of format {FORMAT}")
    return Heading(
        version=_text(told, "version"),
        port=_text(told, "port"),
        kind=_text(told, "kind"),
        speed=_whole(told, "speed"),
        started=_moment(_text(told, "started")),
        console=_text(told, "console"),
        console_hash=_text(told, "console_hash"),
        told=_answers(told.get("told")),
        withheld=_names(told.get("withheld")),
    )


def _entry(told: Told) -> Entry:
    at_ms = told.get("ms")
    if not isinstance(at_ms, float | int) or isinstance(at_ms, bool):
        _refuse("tells no time in `ms`")
    ways = [way for way in Way if way.value in told]
    if len(ways) + ("mark" in told) != 1:
        _refuse("is neither `sent`, `heard` nor `mark`")
    if ways:
        text = _text(told, ways[0].value)
        return Spoken(float(at_ms), ways[0], _bytes(text))
    speed = told.get("speed")
    return Mark(
        at_ms=float(at_ms),
        what=_closed(told, "mark", Happening),
        port=_text(told, "port") if "port" in told else "",
        speed=_whole(told, "speed") if speed is not None else None,
        epoch=_whole(told, "epoch") if "epoch" in told else 0,
    )


def _told(line: bytes) -> Told:
    try:
        told: object = json.loads(line.decode("ascii"))
    except (ValueError, RecursionError):
        _refuse("is no JSON in ASCII")
    if not isinstance(told, dict):
        _refuse("is no JSON object")
    return told


def _text(told: Told, key: str) -> str:
    value = told.get(key)
    if not isinstance(value, str):
        _refuse(f"has no text in `{key}`")
    return value


def _whole(told: Told, key: str) -> int:
    value = told.get(key)
    if not isinstance(value, int) or isinstance(value, bool):
        _refuse(f"has no whole number in `{key}`")
    return value


def _closed(told: Told, key: str, kinds: type[Closed]) -> Closed:
    try:
        return kinds(_text(told, key))
    except ValueError:
        _refuse(f"has an unknown word in `{key}`")


def _bytes(text: str) -> bytes:
    try:
        return text.encode(ONE_CHARACTER_A_BYTE)
    except UnicodeEncodeError:
        _refuse("holds a character that is no byte")


def _moment(text: str) -> datetime:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        _refuse("has no moment in `started`")
    if moment.tzinfo is None:
        _refuse("has no offset from UTC in `started`")
    return moment


def _answers(value: object) -> Mapping[str, str]:
    if not isinstance(value, dict):
        _refuse("has no object in `told`")
    return {str(name): _text(value, name) for name in value}


def _names(value: object) -> tuple[str, ...]:
    if not isinstance(value, list):
        _refuse("has no list in `withheld`")
    return tuple(map(str, value))

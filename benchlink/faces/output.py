"""Where a reading verb's answer goes: to the person, or the file that was named."""

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Union

from benchlink.core.identity import Identity, Readiness
from benchlink.errors import FileError
from benchlink.faces.arguments import Given
from benchlink.faces.talker import Talker
from benchlink.faces.wording import plain

Json = Union[  # noqa: UP007 - a recursive alias needs the quoted form
    str, int, float, bool, None, Sequence["Json"], Mapping[str, "Json"]
]


def give(given: Given, data: Json, lines: Sequence[str], person: Talker) -> None:
    """Give the data as JSON where that was asked for, else the lines.

    Raises:
        FileError: the named file cannot be written.
    """
    text = json.dumps(data, indent=2) if given.json else ""
    text = text or "\n".join(map(plain, lines))
    if given.out is None:
        person.result(text)
        return
    try:
        Path(given.out).write_text(text + "\n", encoding="utf-8")
    except OSError as exc:
        msg = f"{given.out} cannot be written: {exc.strerror}"
        raise FileError(msg, hint="The board was only read.") from exc
    person.tell(f"written to {given.out}")


def identity_data(identity: Identity) -> Json:
    """An identity for a program to read."""
    return {
        "type": identity.board_type,
        "firmware": identity.firmware,
        "number": identity.number,
        "grade": identity.grade.value,
    }


def readiness_data(readiness: Readiness | None) -> Json:
    """A readiness for a program to read; null where the console cannot tell."""
    if readiness is None:
        return None
    return {"live": readiness.armed, "held_back_by": list(readiness.reasons)}

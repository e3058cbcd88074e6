"""One whole text file from disk, with its size and its encoding checked."""

from pathlib import Path
from typing import Final

from benchlink.errors import FileError

MAX_BYTES: Final = 1 << 20
"""1 MiB: a profile of 5,000 settings with reasons takes about half of it."""


def read_bytes(path: Path, most: int = MAX_BYTES) -> bytes:
    """All bytes of a file, at most `most` of them.

    Raises:
        FileError: it cannot be read, or is longer.
    """
    try:
        with path.open("rb") as file:
            data = file.read(most + 1)
    except OSError as exc:
        msg = f"{path} cannot be read: {exc.strerror or exc}"
        raise FileError(msg, hint=_HINTS.get(type(exc), _HINT)) from exc
    if len(data) > most:
        raise too_long(str(path), most)
    return data


def decode(data: bytes, name: str) -> str:
    """UTF-8 bytes as text.

    Raises:
        FileError: they are not UTF-8; the message tells the byte offset.
    """
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as exc:
        wrong = data[exc.start]
        msg = f"{name} is not UTF-8 text: byte 0x{wrong:02X} at offset {exc.start}"
        raise FileError(
            msg, hint="Nothing was used from it. Save it as UTF-8 and run it again."
        ) from exc


def too_long(name: str, most: int) -> FileError:
    """The refusal of a file of more than `most` bytes."""
    return FileError(
        f"{name} is longer than {most} bytes",
        hint="Nothing was used from it. Is this the file that was meant?",
    )


_HINT: Final = "Nothing was changed. Check the disk and the path."
_HINTS: Final[dict[type[OSError], str]] = {
    FileNotFoundError: "Nothing was changed. Check the spelling of the path.",
    PermissionError: "Nothing was changed. Ask the owner for the right to read it.",
    IsADirectoryError: "Nothing was changed. Name a file in that folder instead.",
}

"""Console descriptions as files: the shipped ones by name, any other by its path."""

from hashlib import sha256
from pathlib import Path
from typing import Final

from benchlink.core.document import Node
from benchlink.errors import FileError
from benchlink.store.places import profiles_folder
from benchlink.store.reading import read_bytes
from benchlink.store.strict_yaml import load_bytes

_FOLDER: Final = "consoles"
_SUFFIX: Final = ".yaml"


def find_console(
    name_or_file: str, shipped: Path | None = None
) -> tuple[str, str, bytes]:
    """Name, path and bytes of a description.

    A bare word is a shipped name first, so that no file lying about can take its place.

    Raises:
        FileError: there is no such description, or it cannot be read.
    """
    path = _shipped(name_or_file, shipped) or _file(name_or_file)
    if path is None:
        known = ", ".join(shipped_consoles(shipped)) or "none"
        msg = f"there is no console description {name_or_file!r}"
        raise FileError(
            msg,
            hint="Nothing was sent to a board. Give the path of a file, or the name "
            f"of a shipped one: {known}.",
        )
    return path.stem, str(path), read_bytes(path)


def shipped_consoles(shipped: Path | None = None) -> tuple[str, ...]:
    """Names of the descriptions that come with the tool."""
    return tuple(sorted(path.stem for path in _folder(shipped).glob(f"*{_SUFFIX}")))


def hash_of(data: bytes) -> str:
    """What a person approves: SHA-256 in hex of the whole file."""
    return sha256(data).hexdigest()


def node_of(data: bytes, path: str) -> Node:
    """The file as plain data with places.

    Raises:
        FileError: every mistake in its YAML.
    """
    return load_bytes(data, path)


def _folder(shipped: Path | None) -> Path:
    return (shipped or profiles_folder()) / _FOLDER


def _shipped(name: str, shipped: Path | None) -> Path | None:
    known = {
        known: _folder(shipped) / f"{known}{_SUFFIX}"
        for known in shipped_consoles(shipped)
    }
    return known.get(name)


def _file(name: str) -> Path | None:
    path = Path(name)
    return path if "\0" not in name and path.is_file() else None

"""Kept values: what survives a restart."""

import json
import os
from pathlib import Path
from typing import Protocol, final


class StoreError(Exception):
    """The file of kept values cannot be read or written; says which and why."""


class Store(Protocol):
    """Where a board keeps its values, by name, in text form."""

    def load(self) -> dict[str, str] | None:
        """The kept values, or None when nothing was ever kept."""
        ...

    def save(self, values: dict[str, str]) -> None:
        """Replace all kept values. Raises `StoreError`."""
        ...


@final
class MemoryStore:
    """Kept values that live as long as the process."""

    def __init__(self) -> None:
        self._kept: dict[str, str] | None = None

    def load(self) -> dict[str, str] | None:
        """The kept values, or None when nothing was ever kept."""
        return None if self._kept is None else dict(self._kept)

    def save(self, values: dict[str, str]) -> None:
        """Replace all kept values."""
        self._kept = dict(values)


@final
class FileStore:
    """Kept values in a JSON file that is replaced in one step."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def load(self) -> dict[str, str] | None:
        """The kept values, or None without a file. Raises `StoreError`."""
        try:
            kept: object = json.loads(self._path.read_text("utf-8"))
        except FileNotFoundError:
            return None
        except (OSError, ValueError) as problem:
            msg = f"cannot read the kept values in {self._path}: {problem}"
            raise StoreError(msg) from problem
        if not isinstance(kept, dict):
            msg = f"{self._path} does not hold kept values: move it away"
            raise StoreError(msg)
        return {str(name): str(value) for name, value in kept.items()}

    def save(self, values: dict[str, str]) -> None:
        """Replace all kept values. Raises `StoreError`."""
        try:
            replace_file(self._path, json.dumps(values, indent=0) + "\n")
        except OSError as problem:
            msg = f"cannot write the kept values to {self._path}: {problem}"
            raise StoreError(msg) from problem


def replace_file(path: Path, text: str) -> None:
    """Write a file so that a reader sees the old or the new text, never a part."""
    draft = path.with_name(f".{path.name}.{os.getpid()}.new")
    try:
        draft.write_text(text, "utf-8")
        draft.replace(path)
    except OSError:
        draft.unlink(missing_ok=True)
        raise

"""A file that tells which port a running simulated aircraft has."""

import json
import os
from typing import TYPE_CHECKING, final

from .store import replace_file

if TYPE_CHECKING:
    from pathlib import Path

PRODUCT = "simulated aircraft"


@final
class Announcement:
    """Keeps the file up to date; without a path it does nothing."""

    def __init__(self, path: "Path | None", *, console: str, serial: str) -> None:
        self._path = path
        self._console = console
        self._serial = serial

    def show(self, port: str) -> None:
        """Write the port, in one step."""
        if self._path is None:
            return
        facts = {
            "port": port,
            "pid": os.getpid(),
            "console": self._console,
            "product": PRODUCT,
            "serial": self._serial,
        }
        replace_file(self._path, json.dumps(facts) + "\n")

    def remove(self) -> None:
        """Take the file away."""
        if self._path is not None:
            self._path.unlink(missing_ok=True)

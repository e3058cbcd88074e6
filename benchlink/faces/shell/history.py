"""Lines typed before, a file a console; read only by whoever typed them."""

import os
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import Final, final

from prompt_toolkit.history import History

MOST: Final = 1000
"""Lines that are offered again."""
OWNER_ONLY: Final = 0o600


@final
class LineHistory(History):
    """Typed lines, one under the other; a disk that takes none is done without."""

    def __init__(self, file: Path) -> None:
        super().__init__()
        self._file: Final = file

    def load_history_strings(self) -> Iterable[str]:
        """The newest first."""
        try:
            text = self._file.read_text("utf-8", "replace")
        except OSError:
            return
        yield from [line for line in text.splitlines()[-MOST:] if line][::-1]

    def store_string(self, string: str) -> None:
        """One more line, with nothing in it that ends one."""
        data = "".join(filter(str.isprintable, string)).encode() + b"\n"
        with suppress(OSError):
            self._file.parent.mkdir(parents=True, exist_ok=True)
            flags = os.O_WRONLY | os.O_APPEND | os.O_CREAT
            file = os.open(self._file, flags, OWNER_ONLY)
            try:
                os.write(file, data)
            finally:
                os.close(file)

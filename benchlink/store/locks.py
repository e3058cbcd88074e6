"""One benchlink at a time on what only one may work on: a board, an aircraft's folder.

The kernel's lock on a file decides (flock), so whatever ends a process lets go as well;
the text inside only tells who it is. A file of a process that died is free. The file
goes away with the lock. Where a system or a disk has no such lock, nothing is kept out,
and `Hold.caution` says so.
"""

import errno
import json
import os
import platform
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from benchlink.errors import FileError, HeldError
from benchlink.store.atomic import make_folder

IN_FOLDER: Final = ".in-use"
"""Name of the file that holds a folder; in it only while it is held."""

TRIES: Final = 20
AGAIN_AFTER_S: Final = 0.01
"""A holder that comes or goes at this moment is given a fifth of a second."""

_TAKEN: Final = {errno.EAGAIN, errno.EWOULDBLOCK}
_LONGEST_TEXT: Final = 4096


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """Ours until the block ends."""

    caution: str = ""
    """Empty, or why others are not kept out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Holder:
    """Who has it, by their own words."""

    what: str
    """What it is doing, and to what: `benchlink apply` at /dev/ttyACM0."""
    pid: int
    host: str
    since: datetime

    def __str__(self) -> str:
        here = platform.node()
        where = f" on {self.host}" if self.host != here else ""
        return f"{self.what}, process {self.pid}{where}, since {_shown(self.since)}"


@contextmanager
def hold(path: Path, what: str) -> Iterator[Hold]:
    """Keep other benchlinks away from a file's name or a folder for one block.

    Args:
        path: The file to lock, made where it is missing; or a folder that is there.
        what: Who we are, for whoever comes second: `benchlink apply` at /dev/ttyACM0.

    Raises:
        HeldError: another process has it; says who.
        FileError: the file could not be made.
    """
    file = path / IN_FOLDER if path.is_dir() else path
    descriptor, caution = _lock(file, path)
    if caution:
        yield Hold(caution=caution)
        return
    try:
        _sign(descriptor, what)
        yield Hold()
    finally:
        # While it is still locked: whoever waits for it sees that it is gone.
        with suppress(OSError):
            file.unlink()
        os.close(descriptor)


def _lock(file: Path, path: Path) -> tuple[int, str]:
    """A locked file, or why there is none."""
    try:
        import fcntl  # noqa: PLC0415 - POSIX only
    except ImportError:
        return -1, "This system has no lock that keeps a second benchlink out."
    make_folder(file.parent)
    for _ in range(TRIES):
        descriptor = _opened(file)
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as exc:
            holder = _holder(descriptor)
            os.close(descriptor)
            if exc.errno not in _TAKEN:
                return -1, f"{file} cannot be locked: {exc.strerror}."
            if holder is not None:
                raise _held(path, str(holder)) from None
        else:
            if _still_there(descriptor, file):
                return descriptor, ""
            os.close(descriptor)
        time.sleep(AGAIN_AFTER_S)
    raise _held(path, "another benchlink, which does not say what it does")


def _opened(file: Path) -> int:
    try:
        return os.open(file, os.O_RDWR | os.O_CREAT, 0o666)
    except OSError as exc:
        msg = f"{file} cannot be made: {exc.strerror or exc}"
        raise FileError(msg, hint="Nothing was changed. May you write there?") from exc


def _still_there(descriptor: int, file: Path) -> bool:
    """False where its last holder took the file away before we had it."""
    try:
        return os.path.samestat(os.fstat(descriptor), file.stat())
    except OSError:
        return False


def _sign(descriptor: int, what: str) -> None:
    told = {
        "what": what,
        "pid": os.getpid(),
        "host": platform.node(),
        "since": datetime.now(UTC).astimezone().isoformat(timespec="seconds"),
    }
    # A full disk leaves the holder unnamed, and the lock as good as ever.
    with suppress(OSError):
        os.truncate(descriptor, 0)
        os.pwrite(descriptor, json.dumps(told).encode() + b"\n", 0)


def _holder(descriptor: int) -> Holder | None:
    """Who signed; None where nobody has yet, or it is not ours."""
    try:
        told: object = json.loads(os.pread(descriptor, _LONGEST_TEXT, 0))
    except (OSError, ValueError):
        return None
    if not isinstance(told, dict):
        return None
    what, pid, since = told.get("what"), told.get("pid"), told.get("since")
    if not (isinstance(what, str) and isinstance(pid, int) and isinstance(since, str)):
        return None
    with suppress(ValueError):
        moment = datetime.fromisoformat(since)
        return Holder(what=what, pid=pid, host=str(told.get("host")), since=moment)
    return None


def _held(path: Path, holder: str) -> HeldError:
    return HeldError(
        f"{path} is in use by {holder}",
        hint="Nothing was changed. Let that one end, or end it, and run this again.",
        holder=holder,
    )


def _shown(moment: datetime) -> str:
    today = datetime.now(UTC).astimezone().date()
    return (
        f"{moment:%H:%M:%S}" if moment.date() == today else f"{moment:%Y-%m-%d %H:%M}"
    )

"""Files that are written whole or not at all, whatever happens on the way."""

import errno
import os
import secrets
from contextlib import suppress
from pathlib import Path
from typing import Final

from benchlink.errors import FileError

_HINTS: Final = {
    errno.ENOSPC: "The disk is full: make room and run it again.",
    errno.EDQUOT: "Your share of the disk is used up: make room and run it again.",
    errno.EROFS: "The disk is read-only: choose a folder that can be written.",
    errno.EACCES: "You may not write there: choose another folder, or ask its owner.",
    errno.EPERM: "You may not write there: choose another folder, or ask its owner.",
    errno.ENOENT: "There is no such folder: make it first.",
    errno.ENOTDIR: "The path leads through a file: choose another folder.",
    errno.EISDIR: "That is a folder: give the name of a file in it.",
    errno.ENAMETOOLONG: "The name is too long for this disk: choose a shorter one.",
}
_NEW_FILE: Final = 0o666
_NO_LINKS: Final = {errno.EPERM, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK}


def replace(path: Path, data: bytes) -> None:
    """Put `data` in place of whatever `path` held.

    Raises:
        FileError: it could not be written; the old content is untouched.
    """
    # A link stays a link: what it points to is replaced.
    target = Path(os.path.realpath(path))
    temporary = _beside(target)
    try:
        _write(temporary, data)
        _keep_mode(target, temporary)
        # Through `os`, so that a test can make this one call fail.
        os.replace(temporary, target)  # noqa: PTH105
    except OSError as exc:
        raise _refusal(path, exc) from exc
    finally:
        _remove(temporary)
    _settle(target.parent)


def create(path: Path, data: bytes) -> bool:
    """Make a new file; False, and nothing done, when `path` is taken.

    Raises:
        FileError: it could not be written; nothing of it is left behind.
    """
    temporary = _beside(path)
    try:
        _write(temporary, data)
        _publish(temporary, path)
    except FileExistsError:
        return False
    except OSError as exc:
        raise _refusal(path, exc) from exc
    finally:
        _remove(temporary)
    _settle(path.parent)
    return True


def make_folder(folder: Path) -> None:
    """Make a folder and those above it.

    Raises:
        FileError: it could not be made.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except FileExistsError as exc:
        msg = f"{folder} is a file, not a folder"
        raise FileError(
            msg, hint="Nothing was written. Choose another folder."
        ) from exc
    except OSError as exc:
        raise _refusal(folder, exc) from exc


def _beside(path: Path) -> Path:
    return path.with_name(f".{secrets.token_hex(6)}.part")


def _write(path: Path, data: bytes) -> None:
    # Closed by `with` also when a write fails; O_EXCL never opens another's file.
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    descriptor = os.open(path, flags, _NEW_FILE)
    try:
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(descriptor, rest) :]
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _keep_mode(old: Path, new: Path) -> None:
    with suppress(FileNotFoundError):
        new.chmod(old.stat().st_mode & 0o777)


def _publish(temporary: Path, path: Path) -> None:
    try:
        os.link(temporary, path)
    except OSError as exc:
        if exc.errno not in _NO_LINKS:
            raise
        # Memory sticks know no links: take the name first, then fill it.
        os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, _NEW_FILE))
        try:
            os.replace(temporary, path)  # noqa: PTH105
        except OSError:
            _remove(path)
            raise


def _remove(path: Path) -> None:
    with suppress(OSError):
        path.unlink()


def _settle(folder: Path) -> None:
    # The content is safe by now; not every system can sync a folder.
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _refusal(path: Path, exc: OSError) -> FileError:
    reason = exc.strerror or str(exc)
    return FileError(
        f"{path} could not be written: {reason}",
        hint="What was there before is untouched. "
        + _HINTS.get(exc.errno or 0, "Check the disk and run it again."),
    )

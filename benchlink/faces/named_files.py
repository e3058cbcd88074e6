"""Files that a person names: a profile, or a copy as today's description reads it."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from benchlink.console.rereading import Reread, reread
from benchlink.core.backup import Backup
from benchlink.core.intent import Intent, Owner
from benchlink.core.settings import Setting
from benchlink.errors import FileError
from benchlink.faces.wiring import Bench
from benchlink.store import backups, profiles

MOST_NAMED: Final = 12
"""Settings named where a copy means something else today."""

AskedOf = Callable[[Bench], Intent]
"""What a file that was read already asks of a board."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Copy:
    """A backup as today's description of the board reads it."""

    backup: Backup
    told: tuple[str, ...] = ()
    """What a person should know of that; nothing where it is read as it was then."""


def read_asked(profile_or_backup: str) -> AskedOf:
    """Read a profile, or what a backup asks for, before any board is opened.

    Raises:
        FileError: it cannot be used, with every mistake in it.
    """
    path = Path(profile_or_backup)
    if profile_or_backup.endswith(backups.SUFFIX) or _is_backup(path):
        backup = backups.load(path)
        return lambda bench: _asked_today(backup, path, bench)
    intent = profiles.load_profile(profile_or_backup)
    return lambda _: intent


def as_today(backup: Backup, path: Path, bench: Bench) -> Copy:
    """A backup with the values that its bytes have by the description of this board.

    Raises:
        FileError: it means something else today, and not all of it is understood.
    """
    if backup.console_hash == bench.console_hash:
        return Copy(backup=backup)
    read = reread(bench.session.grammar.description, backup.snapshot)
    if read.otherwise and not read.now.complete:
        raise _at_odds(read, path)
    return Copy(backup=replace(backup, snapshot=read.now), told=(_told(read),))


def intent_from(backup: Backup, path: Path, bench: Bench) -> Intent:
    """What a backup asks of this board: its calibration only of the board it is from.

    Raises:
        FileError: nothing in it was understood.
    """
    same = backup.identity.surely_same(bench.session.identity)
    return backups.intent_from_backup(backup, str(path), same_board=same)


def fitting_profile(name: str | None, bench: Bench) -> Intent | None:
    """The named profile, or the shipped baseline where it fits this board.

    Raises:
        FileError: the named profile cannot be used.
    """
    if name:
        return read_asked(name)(bench)
    for shipped in profiles.shipped_profiles():
        try:
            intent = profiles.load_profile(shipped)
        except FileError:
            continue
        if (
            intent.fits.accepts(bench.session.identity)
            and intent.layer is Owner.BASELINE
        ):
            return intent
    return None


def _asked_today(backup: Backup, path: Path, bench: Bench) -> Intent:
    """The intent of a copy; its title says where it is read anew."""
    copy = as_today(backup, path, bench)
    intent = intent_from(copy.backup, path, bench)
    return replace(intent, title="; ".join((intent.title, *copy.told)))


def _told(read: Reread) -> str:
    then, now, otherwise = read.then.settings, read.now.settings, len(read.otherwise)
    if not then:
        return f"its bytes are read as {len(now)} settings by today's description"
    found = [f"{otherwise} of its {len(then)} values are read otherwise"]
    fresh = sum(name not in then for name in now)
    if fresh:
        found.append(f"{fresh} more settings are understood")
    return f"read anew by today's description: {', '.join(found)}"


def _at_odds(read: Reread, path: Path) -> FileError:
    then, now, names = read.then.settings, read.now.settings, read.otherwise
    error = FileError(
        f"{len(names)} of the {len(then)} values in {path} are read otherwise by today's"
        f" description, which does not understand {len(read.now.not_understood)} lines"
        " of it",
        hint="Nothing was sent but questions. Mend the description until `benchlink lint"
        f" CONSOLE --against {path}` finds nothing, or name the one it was made with.",
    )
    error.details = tuple(
        f"{name}: then {then[name].value}, now {_value(now.get(name))}"
        for name in names[:MOST_NAMED]
    )
    if len(names) > MOST_NAMED:
        error.details += (f"... and {len(names) - MOST_NAMED} more",)
    return error


def _value(setting: Setting | None) -> str:
    return "no setting" if setting is None else str(setting.value)


def _is_backup(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return b"benchlink-backup:" in file.read(4096)
    except OSError:
        return False

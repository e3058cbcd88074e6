"""What is not as the maker delivered it."""

from benchlink.core.settings import Setting, Snapshot
from benchlink.core.values import Value


def not_as_made(now: Snapshot, fresh: Snapshot) -> tuple[str, ...]:
    """Names of settings whose value is not the one of a fresh board.

    Only what a person can set counts: no calibration, nothing read-only or volatile.
    """
    return tuple(
        name
        for name, setting in now.settings.items()
        if _settable(setting) and setting.value != made_value(fresh, name)
    )


def made_value(fresh: Snapshot, name: str) -> Value | None:
    """The value of a fresh board; None where it has no such setting."""
    setting = fresh.settings.get(name)
    return setting.value if setting else None


def _settable(setting: Setting) -> bool:
    return setting.writable and not (setting.board_owned or setting.volatile)

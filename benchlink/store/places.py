"""Where things stand: the shipped profiles, and the folder for what a user approved."""

from collections.abc import Mapping
from pathlib import Path
from typing import Final

PACKAGE: Final = Path(__file__).resolve().parent.parent


def profiles_folder(package: Path = PACKAGE) -> Path:
    """The installed profiles, or those of the checkout."""
    installed = package / "_profiles"
    return installed if installed.is_dir() else package.parent / "profiles"


def state_folder(environment: Mapping[str, str], home: Path) -> Path:
    """Where this user's approvals are kept.

    `BENCHLINK_HOME` first, then `XDG_STATE_HOME`, then the usual folder under `home`.
    """
    own = environment.get("BENCHLINK_HOME")
    if own:
        return Path(own)
    # The base directory rules (freedesktop.org, version 0.8) ignore relative paths.
    shared = Path(environment.get("XDG_STATE_HOME", ""))
    base = shared if shared.is_absolute() else home / ".local" / "state"
    return base / "benchlink"


def aircraft_folder(environment: Mapping[str, str]) -> Path:
    """Where the folders of aircraft stand: `BENCHLINK_AIRCRAFT`, else `aircraft` here."""
    return Path(environment.get("BENCHLINK_AIRCRAFT") or "aircraft")

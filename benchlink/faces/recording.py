"""What a recording is headed with, and which console a recorded board speaks."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from benchlink.console.description import Description
from benchlink.errors import UsageError
from benchlink.link.address import kind_of
from benchlink.link.recording_text import Heading
from benchlink.store import descriptions
from benchlink.store.memory import Memory
from benchlink.units import Baud
from benchlink.version import VERSION

NOBODY: Final[Mapping[str, str]] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoken:
    """The console that is spoken, and what the person told it."""

    description: Description
    digest: str
    told: Mapping[str, str]

    def secrets(self) -> Mapping[str, str]:
        """What must stand in no recording."""
        hidden = {asked.name for asked in self.description.asks if asked.secret}
        return {name: text for name, text in self.told.items() if name in hidden}


def heading_of(
    url: str, speed: Baud, started: datetime, spoken: Spoken | None = None
) -> Heading:
    """The first line of a recording made now."""
    secrets = spoken.secrets() if spoken else NOBODY
    told = spoken.told if spoken else NOBODY
    return Heading(
        version=VERSION,
        port=url,
        kind=kind_of(url),
        speed=speed,
        started=started,
        console=spoken.description.name if spoken else "",
        console_hash=spoken.digest if spoken else "",
        told={name: text for name, text in told.items() if name not in secrets},
        withheld=tuple(sorted(secrets)),
    )


def recorded_console(heading: Heading, approvals: Memory) -> str:
    """Name or path of the description a recording was made with, or of its name.

    Raises:
        UsageError: it was made with none, or nobody here has approved that one.
    """
    approved = approvals.last_with(heading.console_hash)
    shipped = heading.console in descriptions.shipped_consoles()
    if approved and not (shipped and _shipped_hash(heading) == heading.console_hash):
        return approved
    if shipped:
        return heading.console
    made = f"with {heading.console!r}" if heading.console else "without any"
    msg = f"this recording was made {made}, and no such description is known here"
    raise UsageError(msg, hint="Nothing was sent. Name one with `--console`.")


def _shipped_hash(heading: Heading) -> str:
    return descriptions.hash_of(descriptions.find_console(heading.console)[2])

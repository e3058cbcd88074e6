"""A kept listing read once more, by the description of today.

What a copy holds for sure are the bytes that the board said. The values in it are what
the description of that day made of them.
"""

from dataclasses import dataclass, replace

from benchlink.console.description import Description
from benchlink.console.explaining import read_snapshot
from benchlink.console.listing import has_names
from benchlink.console.spelling import Where
from benchlink.core.settings import Snapshot


@dataclass(frozen=True, slots=True, kw_only=True)
class Reread:
    """A copy as it was read then, and as it is read today."""

    then: Snapshot
    now: Snapshot

    @property
    def otherwise(self) -> tuple[str, ...]:
        """Settings of the copy that mean something else today, or are none."""
        now = self.now.settings
        return tuple(
            name
            for name, setting in self.then.settings.items()
            if not setting.volatile
            and (name not in now or now[name].value != setting.value)
        )


def reread(description: Description, then: Snapshot) -> Reread:
    """Read the bytes of a copy; one without settings is a whole session."""
    if then.settings and not all(map(has_names, description.sources)):
        return Reread(then=then, now=_respelled(description, then))
    found = read_snapshot(description, then.verbatim, bare=bool(then.settings))
    return Reread(then=then, now=replace(found, verbatim=then.verbatim))


def _respelled(description: Description, then: Snapshot) -> Snapshot:
    """Where lines do not name their settings, what was listed for each name counts."""
    settings = {
        name: replace(
            setting,
            value=description.spelling.codec(name, Where.LIST).read(setting.raw),
        )
        for name, setting in then.settings.items()
    }
    return replace(then, settings=settings)

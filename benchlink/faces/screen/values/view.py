"""Which rows are shown: by owner, by state, since the last copy, by part of a name."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Final

from benchlink.core.intent import Owner
from benchlink.faces.screen.frame.marks import MARKS, Mark
from benchlink.faces.screen.threads.rows import Row

STATES: Final = (None, *MARKS)
"""In the order of their keys; none of them is 0."""


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """What a row has to be to be shown."""

    only: Mark | None = None
    """None shows all."""
    owner: Owner | None = None
    """None shows those of all."""
    changed: bool = False
    """Whether only what changed since the copy is shown."""
    search: str = ""
    """Part of a name, upper or lower case."""

    def turned(self, by: int) -> "View":
        """With the state beside this one."""
        at = STATES.index(self.only)
        return replace(self, only=STATES[(at + by) % len(STATES)])


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A view put to all rows, once: what passes, and how many there are of each."""

    view: View = field(default_factory=View)
    rows: tuple[Row, ...] = ()
    """What passes, in the order of all."""
    states: Mapping[Mark, int] = field(default_factory=dict)
    """Of the owner that is shown, and only what changed where only that is shown: a
    number key shows as many as stand beside it. A search counts for nothing here."""
    owners: Mapping[Owner, int] = field(default_factory=dict)
    """Of all rows."""
    total: int = 0
    changed: int = 0
    """How many of all differ from the copy."""

    @property
    def among(self) -> int:
        """How many rows the states are counted of."""
        return sum(self.states.values())

    @property
    def choices(self) -> tuple[Owner | None, ...]:
        """All, and each owner that has rows or is shown now, the least special first."""
        return (None, *(o for o in Owner if self.owners.get(o) or o is self.view.owner))

    def owner_beside(self, by: int) -> View:
        """The view with the owner beside this one."""
        at = self.choices.index(self.view.owner)
        return replace(self.view, owner=self.choices[(at + by) % len(self.choices)])


def show(view: View, rows: tuple[Row, ...]) -> Shown:
    """Put a view to the rows."""
    among = [
        row
        for row in rows
        if (view.owner is None or row.owner is view.owner)
        and (row.changed or not view.changed)
    ]
    part = view.search.casefold()
    return Shown(
        view=view,
        rows=tuple(
            row
            for row in among
            if (view.only is None or row.mark is view.only)
            and part in row.name.casefold()
        ),
        states=Counter(row.mark for row in among),
        owners=Counter(row.owner for row in rows if row.owner is not None),
        total=len(rows),
        changed=sum(row.changed for row in rows),
    )

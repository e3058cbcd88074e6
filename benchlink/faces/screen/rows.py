"""Settings as rows to look at: words and shapes, which to show, how many of each."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from benchlink.core.difference import Difference, Finding, State
from benchlink.core.document import Items, Node, Scalar
from benchlink.core.intent import Intent, Owner
from benchlink.faces.screen.marks import NOTHING, Mark
from benchlink.faces.screen.safe_text import plain

if TYPE_CHECKING:
    from benchlink.core.settings import Snapshot


MARK_OF: Final[Mapping[State, Mark]] = {
    State.DIFFERS: Mark.DIFFERS,
    State.MISSING: Mark.MISSING,
    State.REFUSED: Mark.IMPOSSIBLE,
    State.IMPOSSIBLE: Mark.IMPOSSIBLE,
    # Its trouble tells that the board never keeps it.
    State.NEVER_KEPT: Mark.DIFFERS,
    State.WAIVED: Mark.WAIVED,
    State.AS_INTENDED: Mark.AS_INTENDED,
    State.LEFT_ALONE: Mark.LEFT_ALONE,
}

UNKNOWN_LINE: Final = "This line of the listing is not in the console description."


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One setting, every text safe to print."""

    name: str
    mark: Mark
    owner: str = ""
    now: str = NOTHING
    wanted: str = NOTHING
    reason: str = ""
    trouble: str = ""
    place: str = ""
    """Where the profile asks for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """Which of the rows to show."""

    rows: tuple[Row, ...] = ()
    only: Mark | None = None
    """None shows all."""
    search: str = ""
    """Part of a name, upper or lower case."""

    @property
    def shown(self) -> tuple[Row, ...]:
        """The rows that pass, in their order."""
        part = self.search.casefold()
        return tuple(
            row
            for row in self.rows
            if (self.only is None or row.mark is self.only)
            and part in row.name.casefold()
        )

    @property
    def counts(self) -> Mapping[Mark, int]:
        """How many rows carry each mark, whatever is shown."""
        return Counter(row.mark for row in self.rows)


def rows_of(
    snapshot: "Snapshot", difference: Difference, intent: Intent
) -> tuple[Row, ...]:
    """Every finding, then every line that could not be understood."""
    return (
        *(_row(finding, intent) for finding in difference.findings),
        *(
            Row(name=plain(line.strip()), mark=Mark.STRANGE, trouble=UNKNOWN_LINE)
            for line in snapshot.not_understood
        ),
    )


def _row(finding: Finding, intent: Intent) -> Row:
    unmanaged = finding.owner is Owner.UNMANAGED
    return Row(
        name=plain(finding.name),
        mark=MARK_OF[finding.state],
        owner=NOTHING if unmanaged else finding.owner.value,
        now=NOTHING if finding.now is None else plain(str(finding.now)),
        wanted=plain(_wanted(finding, intent)),
        reason=plain(finding.reason),
        trouble=plain(finding.trouble),
        place=plain(str(finding.place)) if finding.place else "",
    )


def _wanted(finding: Finding, intent: Intent) -> str:
    """As the board would hold it; where it cannot, as it was written."""
    if finding.wanted is not None:
        return str(finding.wanted)
    asked = intent.wanted.get(finding.name)
    return _as_written(asked.given) if asked else NOTHING


def _as_written(node: Node) -> str:
    match node:
        case Scalar():
            return node.text
        case Items():
            return "[" + ", ".join(map(_as_written, node.items)) + "]"
        case _:
            return "a table"

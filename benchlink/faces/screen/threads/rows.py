"""Settings as rows to look at: every text safe to print, made on the work thread."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING, Final

from benchlink.core.difference import Difference, Finding, State
from benchlink.core.document import Items, Node, Scalar
from benchlink.core.intent import Intent
from benchlink.faces.screen.frame.marks import NOTHING, Mark
from benchlink.faces.screen.frame.safe_text import plain

if TYPE_CHECKING:
    from benchlink.core.intent import Owner
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


class Use(Enum):
    """What applying the profile would do about a row."""

    WRITES = "it is written"
    BLOCKS = "it cannot be brought about, and nothing is applied while it is asked for"
    MISTAKEN = "the same, and no waiver helps: the profile asks for what cannot be"
    NOTHING = "it is not touched"


USE_OF: Final[Mapping[State, Use]] = {
    State.DIFFERS: Use.WRITES,
    State.NEVER_KEPT: Use.WRITES,
    State.MISSING: Use.BLOCKS,
    State.REFUSED: Use.BLOCKS,
    State.IMPOSSIBLE: Use.BLOCKS,
}
"""All others are not touched."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One setting, or one line that nobody understands."""

    name: str
    """Safe to print."""
    mark: Mark
    setting: str = ""
    """The same name as the board and the profile spell it; empty for a line."""
    owner: "Owner | None" = None
    """None for a line."""
    now: str = NOTHING
    wanted: str = NOTHING
    copy: str = NOTHING
    """What the copy at hand holds."""
    changed: bool = False
    """Whether the board holds something else than that copy."""
    use: Use = Use.NOTHING
    reason: str = ""
    trouble: str = ""
    place: str = ""
    """Where the profile asks for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """A copy to show beside the board."""

    values: Mapping[str, str] = field(default_factory=dict)
    """Each of its settings, safe to print."""
    off: Collection[str] = ()
    """Names that hold something else on the board now."""


NO_COPY: Final = Beside()


def rows_of(
    snapshot: "Snapshot",
    difference: Difference,
    intent: Intent,
    beside: Beside = NO_COPY,
) -> tuple[Row, ...]:
    """Every finding, then every line that could not be understood."""
    return (
        *(_row(finding, intent, beside) for finding in difference.findings),
        *(
            Row(name=plain(line.strip()), mark=Mark.STRANGE, trouble=UNKNOWN_LINE)
            for line in snapshot.not_understood
        ),
    )


def _row(finding: Finding, intent: Intent, beside: Beside) -> Row:
    name = finding.name
    return Row(
        name=plain(name),
        mark=MARK_OF[finding.state],
        setting=name,
        owner=finding.owner,
        now=NOTHING if finding.now is None else plain(str(finding.now)),
        wanted=plain(_wanted(finding, intent)),
        copy=beside.values.get(name, NOTHING),
        changed=name in beside.off,
        use=_use(finding),
        reason=plain(finding.reason),
        trouble=plain(finding.trouble),
        place=plain(str(finding.place)) if finding.place else "",
    )


def _use(finding: Finding) -> Use:
    # Of a wrong kind of value the difference knows none that is wanted.
    if finding.state is State.IMPOSSIBLE and finding.wanted is None:
        return Use.MISTAKEN
    return USE_OF.get(finding.state, Use.NOTHING)


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

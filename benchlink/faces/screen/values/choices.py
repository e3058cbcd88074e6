"""What a person marks on the rows: apply or leave, and what then begins, or why not."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from benchlink.faces.screen.frame.legend import APPLY, BLOCK, LEAVE
from benchlink.faces.screen.frame.marks import Mark
from benchlink.faces.screen.threads.rows import Row, Use

if TYPE_CHECKING:
    from benchlink.faces.screen.threads.values_facts import ValuesFacts

NO_MARK: Final = {
    Mark.WAIVED: "waived: nothing is written; w lifts the waiver",
    Mark.AS_INTENDED: "as intended: there is nothing to write",
    Mark.LEFT_ALONE: "nobody asks for it: there is nothing to write",
    Mark.STRANGE: "this line is no setting that anybody understands",
}
"""Why a row carries no mark."""

NO_WAIVER: Final = NO_MARK | {
    Mark.AS_INTENDED: "as intended: there is nothing to waive",
    Mark.LEFT_ALONE: "nobody asks for it: there is nothing to waive",
}
NO_USE: Final = "no waiver helps a mistake: mend it where it stands"
NO_AIRCRAFT: Final = "a waiver stands in the aircraft's folder: h, then a, makes one"
NOTHING_TO_WRITE: Final = "nothing was begun: no row is marked apply"
NOT_COMPARED: Final = "nothing was begun: the board is held against no profile"
UNFINISHED: Final = "a change is unfinished: h, then s goes on or u puts back"


@dataclass(frozen=True, slots=True)
class Choices:
    """Every row that could be written begins as apply; these are left instead."""

    left: frozenset[str] = frozenset()
    """Names of settings, whether they are rows now or not."""

    def word(self, row: Row) -> str:
        """The mark on a row; empty where it carries none."""
        if row.use is Use.NOTHING:
            return ""
        if row.setting in self.left:
            return LEAVE
        return APPLY if row.use is Use.WRITES else BLOCK

    def turned(self, rows: Iterable[Row]) -> "Choices":
        """All of these rows left, or where all are left already, none of them."""
        names = {row.setting for row in rows if row.use is not Use.NOTHING}
        if names <= self.left:
            return Choices(self.left - names)
        return Choices(self.left | names)

    def leaving(self, rows: Iterable[Row]) -> tuple[str, ...]:
        """Names to leave out of an apply of these rows, in their order."""
        return tuple(row.setting for row in rows if self.word(row) == LEAVE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """A station to begin: its heading, and the words of the command line."""

    title: str
    words: tuple[str, ...]


def no_mark(row: Row) -> str:
    """Why there is nothing to mark on a row that carries no mark."""
    return NO_MARK[row.mark]


def counted(rows: Iterable[Row], choices: Choices) -> str:
    """How many rows carry which mark; empty where none does."""
    words = [choices.word(row) for row in rows if row.use is not Use.NOTHING]
    if not words:
        return ""
    told = f"{APPLY} {words.count(APPLY)}, {LEAVE} {words.count(LEAVE)}"
    return f"{told}, {BLOCK} {words.count(BLOCK)}" if BLOCK in words else told


def apply_order(facts: "ValuesFacts", choices: Choices) -> Order | str:
    """What applying begins, or why nothing."""
    if not facts.compared:
        return NOT_COMPARED
    if facts.unfinished:
        return UNFINISHED
    words = [choices.word(row) for row in facts.rows if row.use is not Use.NOTHING]
    blocked = words.count(BLOCK)
    if blocked:
        return f"{blocked} marked block cannot be written: space leaves, w waives"
    if APPLY not in words:
        return NOTHING_TO_WRITE
    profile = (facts.profile,) if facts.profile else ()
    left = (part for name in choices.leaving(facts.rows) for part in ("--leave", name))
    return Order(title="Apply", words=("apply", *profile, *left))


def waive_order(facts: "ValuesFacts", row: Row) -> Order | str:
    """What waiving a row, or lifting its waiver, begins; or why nothing."""
    if row.mark is Mark.WAIVED:
        lifts = Order(title="Lift a waiver", words=("waive", row.setting, "--lift"))
        return lifts if facts.tail else NO_AIRCRAFT
    if row.use is Use.NOTHING:
        return NO_WAIVER[row.mark]
    if row.use is Use.MISTAKEN:
        return NO_USE
    if not facts.tail:
        return NO_AIRCRAFT
    return Order(title="Waive", words=("waive", row.setting))

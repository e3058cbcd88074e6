"""All that the values page shows but the board's link, as one value that is replaced."""

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Final

from benchlink.faces.screen.threads.rows import Use
from benchlink.faces.screen.values.choices import Choices, counted, no_mark
from benchlink.faces.screen.values.search_line import SearchLine
from benchlink.faces.screen.values.view import STATES, Shown, View, show

if TYPE_CHECKING:
    from benchlink.faces.screen.threads.rows import Row
    from benchlink.faces.screen.threads.values_facts import ValuesFacts

NO_COPY: Final = "no copy of this board is at hand: `benchlink backup` keeps one"
NOTHING_TO_MARK: Final = "no row that shows could be written: there is nothing to mark"


@dataclass(frozen=True, slots=True, kw_only=True)
class ValuesState:
    """What was read, which rows show, what is marked on them, and what was said last."""

    facts: "ValuesFacts | None" = None
    """Of the last reading; None before the first."""
    shown: Shown = field(default_factory=Shown)
    search: SearchLine = field(default_factory=SearchLine)
    choices: Choices = field(default_factory=Choices)
    marked: str = ""
    """How many rows carry which mark."""
    message: str = ""

    @property
    def rows(self) -> "tuple[Row, ...]":
        """Every row, shown or not."""
        return self.facts.rows if self.facts else ()

    @property
    def compared(self) -> bool:
        """Whether the board is held against anything."""
        return self.facts is not None and self.facts.compared

    @property
    def copied(self) -> bool:
        """Whether there is a copy beside it."""
        return self.facts is not None and bool(self.facts.copied)

    def told(self, sentence: str) -> "ValuesState":
        """With another sentence."""
        return replace(self, message=sentence)

    def read(self, facts: "ValuesFacts") -> "ValuesState":
        """With a new reading under the same filters and marks."""
        view = self.shown.view
        kept = replace(view, changed=view.changed and bool(facts.copied))
        return replace(
            self,
            facts=facts,
            shown=show(kept, facts.rows),
            marked=counted(facts.rows, self.choices),
            message=f"read {len(facts.rows)} lines, two readings agree",
        )

    def seen(self, what: str, by: int) -> "ValuesState":
        """With other rows: the state of a number, the next state or owner, changed ones."""
        view = self.shown.view
        match what:
            case "only":
                return self._under(replace(view, only=STATES[by]))
            case "state":
                return self._under(view.turned(by))
            case "owner":
                return self._under(self.shown.owner_beside(by))
            case _ if self.copied:
                return self._under(replace(view, changed=not view.changed))
            case _:
                return self.told(NO_COPY)

    def looked_for(self, line: SearchLine) -> "ValuesState":
        """With names that hold what is searched for."""
        view = replace(self.shown.view, search=line.text)
        return replace(self._under(view), search=line)

    def turned(self, row: "Row | None") -> "ValuesState":
        """With another mark on a row; on all that show where None is given."""
        if row is not None and row.use is Use.NOTHING:
            return self.told(no_mark(row))
        rows = self.shown.rows if row is None else (row,)
        choices = self.choices.turned(rows)
        if choices == self.choices:
            return self.told(NOTHING_TO_MARK)
        return replace(self, choices=choices, marked=counted(self.rows, choices))

    def _under(self, view: View) -> "ValuesState":
        return replace(self, shown=show(view, self.rows))


AT_FIRST: Final = ValuesState()

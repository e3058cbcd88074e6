"""How a made-up console takes several settings of one thing: a statement of lines.

A statement is opened for a thing, holds one line for each of its fields, and is closed.
Some consoles take each line at once; others want every field, and take them all when the
statement is closed. All letters of a thing in one line are a statement in one line.
"""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Final, final

from .generated_plan import Plan, Writing
from .generated_sheet import Sheet, thing_and_field
from .quantities import RefusalError
from .settings import Owner

if TYPE_CHECKING:
    from collections.abc import Iterator

    from .settings import Setting

QUOTE: Final = '"'


@final
class Statement:
    """The statement that is open, if one is."""

    def __init__(self, plan: Plan, sheet: Sheet) -> None:
        self._plan = plan
        self._fields: dict[str, dict[str, Setting]] = {}
        for setting in sheet.settings:
            thing, field = thing_and_field(plan, setting.name)
            self._fields.setdefault(thing, {})[field] = setting
        self.thing: str | None = None
        self.given: dict[str, str] = {}

    @property
    def is_open(self) -> bool:
        """Lines go into it until it is closed or left."""
        return self.thing is not None

    def leave(self) -> None:
        """Forget it."""
        self.thing = None
        self.given = {}

    def opens(self, line: str) -> bool:
        """Whether the line opens one."""
        before, after = self._plan.statement.opening.split("{thing}")
        thing = line.removeprefix(before).removesuffix(after)
        if line != f"{before}{thing}{after}" or thing not in self._fields:
            return False
        self.thing = thing
        return True

    def field(self, line: str) -> "tuple[Setting, str]":
        """The setting that a line inside names, and its value. Raises `RefusalError`."""
        field, mark, value = line.partition(self._plan.statement.between)
        known = self._fields[self.thing or ""]
        if not mark or field not in known:
            msg = f"no such field of {self.thing}"
            raise RefusalError(msg)
        self.given[field] = value
        return known[field], value

    def all_given(self) -> "list[tuple[Setting, str]]":
        """Every field of the thing with its value. Raises `RefusalError`."""
        return self._all(self.thing or "", self.given)

    def letters(self, line: str) -> "list[tuple[Setting, str]] | None":
        """What a line of all letters holds; None when it is none."""
        head, end = f"{self._plan.statement.letters} ", self._plan.thing_end
        thing, mark, cells = line.removeprefix(head).partition(end)
        if not line.startswith(head) or not mark or thing not in self._fields:
            return None
        given = {cell[:1]: cell[1:] for cell in _cells(cells)}
        return self._all(thing, given)

    def _all(self, thing: str, given: Mapping[str, str]) -> "list[tuple[Setting, str]]":
        known = {
            field: setting
            for field, setting in self._fields[thing].items()
            if setting.owner is not Owner.MAKER
        }
        if set(given) != set(known):
            msg = f"all of {thing} and nothing else: {', '.join(known)}"
            raise RefusalError(msg)
        return [(setting, given[field]) for field, setting in known.items()]


def takes_lines(plan: Plan) -> bool:
    """Whether settings are written in statements of several lines."""
    return plan.writing in {Writing.STATEMENT, Writing.WHOLE_STATEMENT}


def _cells(text: str) -> "Iterator[str]":
    """Cut at blanks, but not inside quotes."""
    cell, inside = "", False
    for char in text:
        inside ^= char == QUOTE
        if char != " " or inside:
            cell += char
        elif cell:
            yield cell
            cell = ""
    if cell:
        yield cell

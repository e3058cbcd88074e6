"""What the final bytes of a line may do, by all spellings that the console takes.

Pure: bytes and what was typed before go in, hazards come out. Whatever the description
does not know for sure is `UNKNOWN`; a byte that is neither plain text nor the declared
line end makes it so as well, since nobody said what the console does with it. Such a
line is still read as an editor would read it, so that a hazard in it has its name.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Final, final

from benchlink.console.description import Description, Verb
from benchlink.console.hazard_making import tables_of
from benchlink.console.hazard_rules import HazardRules, LineKind
from benchlink.console.hazard_tables import Meant, Tables
from benchlink.console.spelling import Where
from benchlink.console.statements import Cutter, Readings
from benchlink.core.exchange import Command
from benchlink.core.hazard import (
    FRESH,
    NO_HAZARD,
    NOT_KNOWN,
    OF_MOVES,
    About,
    Aim,
    Hazards,
    Typed,
    hazard_words,
)
from benchlink.core.intent import matches_any

ENDS: Final = frozenset("\r\n")
ERASERS: Final = frozenset("\b\x7f")
BLANK: Final = 0x20
DIGITS: Final = {ord(digit): "0" for digit in "123456789"}
MOST_PROVEN: Final = 10_000


@final
class Classifier:
    """A description put to use against lines; builds its tables when first asked."""

    def __init__(self, description: Description) -> None:
        self._description: Final = description
        self._rules: Final = description.hazards
        self._made: _Made | None = None
        self._of_settings: Final[dict[str, Hazards]] = {}
        self._meant: Final[dict[str, Hazards]] = {}
        self._proven: Final[set[tuple[object, ...]]] = set()
        held = self._rules.held if self._rules else ()
        self._tells_digits: Final = any(
            map(str.isdigit, "".join(line.source for h in held for line in h.lines))
        )

    def classify(self, data: bytes, typed: Typed = FRESH) -> Hazards:
        """What these bytes may do; empty only where every command in them is known."""
        made = self._tables()
        if made is None:
            return NOT_KNOWN
        keyed = made.key(data, typed)
        if keyed is not None:
            return keyed
        lines, clear = made.lines(data, typed.begun)
        hazards = NO_HAZARD if clear else NOT_KNOWN
        last = typed.last
        for line in lines:
            found, repeated = self._line(made, line, last, typed.aim)
            hazards |= found
            last = last if repeated or not line.strip() else line
        return hazards

    def repeats(self, line: str) -> bool:
        """Whether a line does the last one again."""
        made = self._tables()
        return made is not None and made.repeated(line)[0]

    def about(self, line: str, aims: Iterable[Aim]) -> About | None:
        """Which of these settings a line is about, where it does nothing else.

        None where it says more, or is about none of these `aims`.
        """
        made = self._tables()
        if made is None or made.repeated(line)[0]:
            return None
        commands, clear = made.cutter.cut(line)
        if not clear or made.too_long(line) or made.expands(line):
            return None
        found = (self._about(made.tables, commands, aim) for aim in aims)
        return next((about for about in found if about is not None), None)

    def _about(
        self, tables: Tables, commands: Sequence[Readings], aim: Aim
    ) -> About | None:
        """The same for one setting."""
        values: list[str] = []
        told = writes = False
        for ways in commands:
            meant = [self._part_of(tables, command, aim) for command in ways]
            if len({part is None for part in meant}) > 1:
                return None  # by one reading it is about the setting, by another not
            part = meant[0]
            if part is None:
                if not all(self._beside(tables, command) for command in ways):
                    return None
                continue
            told, writes = True, writes or part.writes
            if part.writes and part.spelled == "value":
                values.append(part.value)
        return About(aim=aim, writes=writes, values=tuple(values)) if told else None

    def _part_of(self, tables: Tables, command: str, aim: Aim) -> Meant | None:
        meant = None if tables.full(command) else tables.meant(command, aim.fields)
        return meant if meant is not None and self._one_value(meant, aim) else None

    @staticmethod
    def _beside(tables: Tables, command: str) -> bool:
        """Whether a command may go with a write, and is known to do nothing else."""
        if tables.full(command):
            return False
        return tables.knows(command) or bool(tables.writing.fullmatch(command))

    def refuse_beyond(self, name: str, commands: Sequence[Command], aim: Aim) -> None:
        """Refuse lines that do more than the verb which they are made for.

        Raises:
            ValueError: with what else they may do.
        """
        if self._rules is None:
            return
        # Other digits make no other command of it, unless a row tells digits apart.
        lines = [command.line for command in commands]
        if not self._tells_digits:
            lines = [line.translate(DIGITS) for line in lines]
        shape = (name, aim.names, *lines)
        if shape in self._proven:
            return
        wanted = self._meant.get(name)
        if wanted is None:
            verb = self._description.verbs[name]
            wanted = self._meant[name] = self._of_shape(verb)
        more = self._said(commands, aim) - wanted - self.of_settings(aim.names)
        if more:
            msg = f"makes a line that {hazard_words(more)}"
            raise ValueError(msg)
        if len(self._proven) >= MOST_PROVEN:
            self._proven.clear()
        self._proven.add(shape)

    def _tables(self) -> "_Made | None":
        """What is worked out when first asked; None where nobody told of hazards."""
        if self._made is None and self._rules is not None:
            self._made = _Made(self._description, self._rules)
        return self._made

    def _of_shape(self, verb: Verb) -> Hazards:
        """What a verb does whatever is put into its fields."""
        fields = {field: "x" for step in verb.steps for field in step.line.fields}
        lines = (
            Command(
                line=step.line.render(fields),
                answer_within=step.form.within,
                key=step.key,
            )
            for step in verb.steps
        )
        return self._said(lines, Aim(names=(), fields=fields))

    def _said(self, commands: Iterable[Command], aim: Aim) -> Hazards:
        manner = self._description.manner
        hazards, last = NO_HAZARD, None
        for command in commands:
            typed = Typed(last=last, aim=aim)
            hazards |= self.classify(manner.bytes_of(command), typed)
            last = last if command.key else command.line
        return hazards

    def of_settings(self, names: Iterable[str]) -> Hazards:
        """What writing these settings may do."""
        hazards = NO_HAZARD
        for name in names:
            found = self._of_settings.get(name)
            if found is None:
                found = self._of_settings[name] = self._of_setting(name)
            hazards |= found
        return hazards

    def _of_setting(self, name: str) -> Hazards:
        hazards = NO_HAZARD
        for names, moves in self._description.moving:
            if matches_any(names, name):
                hazards |= OF_MOVES[moves]
                break
        for held in self._rules.held if self._rules else ():
            if matches_any(held.settings, name):
                hazards |= {held.what}
        return hazards

    def _line(
        self, made: "_Made", line: str, last: str | None, aim: Aim | None
    ) -> tuple[Hazards, bool]:
        """What one line may do, and whether it repeats the one before."""
        hazards = NO_HAZARD
        repeated, line = made.repeated(line)
        if repeated:
            again = None if last is None else self._line(made, last, None, aim)[0]
            hazards |= NOT_KNOWN if again is None else again
        if made.too_long(line) or made.expands(line):
            hazards |= NOT_KNOWN
        commands, clear = made.cutter.cut(line)
        if not clear:
            hazards |= NOT_KNOWN
        for readings in commands:
            hazards |= self._command(made.tables, readings, aim)
        return hazards, repeated

    def _command(self, tables: Tables, readings: Readings, aim: Aim | None) -> Hazards:
        hazards, known = NO_HAZARD, True
        for command in readings:
            found = tables.full(command)
            if not found and tables.knows(command):
                continue
            written = None if aim is None else self._written(tables, command, aim)
            if written is not None:
                found |= written
            elif not found:
                found = tables.loose(command)
                known = known and (bool(found) or tables.asks(command))
            hazards |= found
        return hazards if known else hazards | NOT_KNOWN

    def _written(self, tables: Tables, command: str, aim: Aim) -> Hazards | None:
        """What a command does that is part of what is meant; None where it is not."""
        if tables.writing.fullmatch(command):
            return NO_HAZARD
        meant = tables.meant(command, aim.fields)
        if meant is None or not self._one_value(meant, aim):
            return None
        return self.of_settings(aim.names) if meant.writes else NO_HAZARD

    def _one_value(self, meant: Meant, aim: Aim) -> bool:
        """Whether one value is written, and not more behind it."""
        if " " not in meant.value or meant.spelled != "value" or not aim.names:
            return True
        codec = self._description.spelling.codec(aim.names[0], Where.WRITE)
        try:
            codec.write(codec.read(meant.value))
        except ValueError:
            return False
        return True


@final
class _Made:
    """What is worked out once for a description."""

    def __init__(self, description: Description, rules: HazardRules) -> None:
        manner = description.manner
        self._longest: Final = manner.longest_line
        self.cutter: Final = Cutter(rules, description.spelling.base)
        self.tables: Final = tables_of(description, rules, self.cutter)
        self._rules: Final = rules
        self._end: Final = manner.line_end.value
        self._charset: Final = manner.charset
        self._abandon: Final = manner.charset.decode(manner.abandon)
        self._expanding: Final = frozenset(rules.expands)
        self._blanks: Final[Mapping[int, int]] = (
            {code: BLANK for code in range(BLANK) if code not in manner.line_end.value}
            if rules.kind is LineKind.MESSAGE
            else {}
        )
        self._repeats: Final = tuple(text for text in rules.repeats if text)
        self._repeating: Final = re.compile(
            "|".join(re.escape(text) for text in self._repeats) or r"(?!)",
            re.IGNORECASE if rules.ignores_case else 0,
        )

    def key(self, data: bytes, typed: Typed) -> Hazards | None:
        """What an answer to a question does; None where it is none."""
        if typed.begun:
            return None
        return self.tables.key(data, typed.last)

    def too_long(self, line: str) -> bool:
        """Whether the console would take a part of it only."""
        return self._charset.length(line) > self._longest

    def expands(self, line: str) -> bool:
        """Whether the console puts something else in somewhere."""
        return not self._expanding.isdisjoint(line)

    def repeated(self, line: str) -> tuple[bool, str]:
        """Whether a line does the last one again, and what is left of it."""
        if not line:
            return "" in self._rules.repeats, ""
        repeats = False
        while self._repeats and (found := self._repeating.match(line.lstrip(" "))):
            repeats, line = True, line.lstrip(" ")[found.end() :]
        return repeats, line

    def lines(self, data: bytes, begun: str) -> tuple[list[str], bool]:
        """The lines in these bytes, and whether every byte of them is plain."""
        body = data.removesuffix(self._end)
        text = self._charset.decode(body)
        if text.isprintable():
            return [begun + text], True
        return self._edited(self._charset.decode(data), begun)

    def _edited(self, text: str, begun: str) -> tuple[list[str], bool]:
        """The same where keys are among the text: as a line editor would take them."""
        end = self._end.decode()
        text = text.translate(self._blanks)
        clear = text.count("\r") + text.count("\n") == text.count(end) * len(end) or (
            text.count(end) == 0 and text.rstrip("\r\n").isprintable()
        )
        lines, line = [], list(begun)
        for char in text.replace(end, "\n"):
            if char in ENDS:
                lines.append("".join(line))
                line.clear()
            elif char == self._abandon:
                line.clear()
            elif char in ERASERS:
                del line[-1:]
                clear = False
            elif char.isprintable():
                line.append(char)
            else:
                clear = False
        return [*lines, *filter(None, ["".join(line)])], clear

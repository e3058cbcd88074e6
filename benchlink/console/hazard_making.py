"""From a description to the tables of its commands."""

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from benchlink.console.columns import Columns
from benchlink.console.description import Description, Step, Verb
from benchlink.console.forms import Pair, Row
from benchlink.console.hazard_rules import HazardRules, LineKind
from benchlink.console.hazard_tables import Addressed, Tables, by_hazard, lacking
from benchlink.console.likenesses import ONE_COMMAND, any_of, exactly, loosely
from benchlink.console.statements import Cutter, in_characters, place_of, shape_of
from benchlink.console.template import Template, template
from benchlink.core.hazard import NO_HAZARD, OF_MOVES, Hazard, Hazards
from benchlink.core.intent import matches_any

NATURE: Final[Mapping[str, Hazards]] = {
    "restart": frozenset({Hazard.RESTARTS}),
    "factory": frozenset({Hazard.ERASES}),
    "drop": frozenset({Hazard.ERASES}),
    "drive": frozenset({Hazard.SERVO, Hazard.MOTOR}),
    "release": frozenset({Hazard.SERVO}),
    "spin": frozenset({Hazard.MOTOR}),
}
"""What a verb does by what it is for."""
SPELLED: Final = ("value", "cells", "cell", "line")
"""Fields that hold what is written; all others say where."""
WRITING: Final = ("write", "clear")
ANY: Final = in_characters(template("{anything}"))


class Making:
    """The commands of a description, as its own rules cut them."""

    def __init__(
        self, description: Description, rules: HazardRules, cutter: Cutter
    ) -> None:
        self.description: Final = description
        self.rules: Final = rules
        self.cutter: Final = cutter

    def commands(self, line: Template) -> tuple[str, ...]:
        """The commands of a line, its fields as characters."""
        return self.cut(in_characters(line))

    def cut(self, line: str) -> tuple[str, ...]:
        """The commands of a line, each as it reads first."""
        return tuple(readings[0] for readings in self.cutter.cut(line)[0])

    def verbs(self) -> Iterator[tuple[str, Verb, Hazards]]:
        """Everything that is ever said, and what it does by its nature."""
        for name, verb in self.description.all_verbs():
            yield name, verb, NATURE.get(name, NO_HAZARD) | OF_MOVES[verb.moves]
        for source in self.description.sources:
            yield "read", source.ask, NO_HAZARD
        yield "read", Verb(steps=tuple(self._around())), NO_HAZARD

    def _around(self) -> Iterator[Step]:
        """What modes and banks need, and what gets out of a write again."""
        for mode in self.description.modes.values():
            yield from (mode.enter, mode.leave)
        for source in self.description.sources:
            if source.banks is not None:
                yield source.banks.select
        for verb in self.description.verbs.values():
            if verb.way_out is not None:
                yield verb.way_out

    def held(self) -> Iterator[tuple[Hazard, str]]:
        """What the rows hold."""
        for row in self.rules.held:
            for line in row.lines:
                yield from ((row.what, command) for command in self.commands(line))

    def own(self) -> tuple[tuple[str, str], ...]:
        """The commands of verbs that have no hazard by their nature, after the verb."""
        return tuple(
            (name, command)
            for name, verb, does in self.verbs()
            if not does
            for step in verb.steps
            if not step.key
            for command in self.commands(step.line)
        )

    def untold(self) -> Iterator[tuple[Verb, Hazards]]:
        """Verbs with a hazard that no row tells of."""
        sources = ((h, loosely(command, self.rules)) for h, command in self.held())
        rows = {h: any_of(s, self.rules) for h, s in by_hazard(sources).items()}
        for _, verb, does in self.verbs():
            told = frozenset(
                hazard
                for step in verb.steps
                if not step.key
                for command in self.commands(step.line)
                for hazard, form in rows.items()
                if form.fullmatch(command)
            )
            if lacking(does, told):
                yield verb, lacking(does, told)


def tables_of(description: Description, rules: HazardRules, cutter: Cutter) -> Tables:
    """Work out the tables of a description."""
    making = Making(description, rules, cutter)
    own = making.own()
    shared = frozenset(command for _, command in own)
    known = [*_known(making, own)]
    held = [*making.held()]
    held += [
        (hazard, command)
        for verb, lacks in making.untold()
        for step in verb.steps
        for command in making.commands(step.line)
        if not step.key and command not in shared
        for hazard in lacks
    ]
    tagged = tagged_of(held, rules)
    likely = [(hazard, loosely(command, rules)) for hazard, command in held]
    likely += [
        (hazard, loosely(command, rules, globs=True))
        for hazard, command in _settings(making)
    ]
    return Tables(
        tagged=tagged,
        anything=any_of((exactly(command, rules) for _, command in held), rules),
        likely={h: any_of(s, rules) for h, s in by_hazard(likely).items()},
        known=any_of(
            (exactly(c, rules) for c in known if not any(map(shape_of, c))), rules
        ),
        asking=any_of(
            (exactly(c, rules, ONE_COMMAND) for c in known if any(map(shape_of, c))),
            rules,
        ),
        writing=any_of(
            (
                exactly(command, rules)
                for name, command in own
                if name.startswith(WRITING) and not any(map(shape_of, command))
            ),
            rules,
        ),
        listed=frozenset(_listed(making)),
        addressed=tuple(_addressed(making)),
        keys=tuple(_keys(making, tagged)),
        free_keys=frozenset(_free_keys(description)),
        folds=rules.ignores_case,
        rooted=rules.kind is LineKind.MESSAGE,
    )


def tagged_of(
    held: Iterable[tuple[Hazard, str]], rules: HazardRules
) -> Mapping[Hazard, re.Pattern[str]]:
    """One expression for all commands of a hazard."""
    sources = by_hazard((hazard, exactly(command, rules)) for hazard, command in held)
    return {hazard: any_of(found, rules) for hazard, found in sources.items()}


def _known(making: Making, own: tuple[tuple[str, str], ...]) -> Iterator[str]:
    """Commands that say what they are before their first field, and write nothing."""
    for name, command in own:
        fields = [char for char in command if shape_of(char) is not None]
        says = not fields or any(map(str.isalpha, command.partition(fields[0])[0]))
        if says and not name.startswith(WRITING):
            yield command
    for line in making.rules.harmless:
        yield from making.commands(line)
    for text in making.description.manner.setup:
        yield from making.cut(text)
    for source in making.description.sources:
        for step in source.ask.steps:
            for numbered in source.numbered:
                yield from making.cut(_with_name(step.line, in_characters(numbered)))


def _listed(making: Making) -> Iterator[str]:
    """Commands that ask for a name which the description lists."""
    folds = making.rules.ignores_case
    for source in making.description.sources:
        for name in source.each:
            for step in source.ask.steps:
                for command in making.cut(_with_name(step.line, name)):
                    yield command.casefold() if folds else command


def _with_name(line: Template, name: str) -> str:
    text = in_characters(line)
    for at, field in enumerate(line.fields):
        if field == "name":
            text = "".join(
                name if shape_of(c) is not None and place_of(c) == at else c
                for c in text
            )
    return text


def _settings(making: Making) -> Iterator[tuple[Hazard, str]]:
    """Commands that write a setting which has a hazard, its patterns in them."""
    description = making.description
    patterns = [
        (hazard, name)
        for names, moves in description.moving
        for hazard in OF_MOVES[moves]
        for name in names
    ]
    patterns += [(row.what, n) for row in making.rules.held for n in row.settings]
    for hazard, pattern in patterns:
        for name in (pattern, *_second_names(description, pattern)):
            for line in _writing_lines(description):
                for named in _named(description, line, name):
                    for command in making.cut(named):
                        yield hazard, command


def _second_names(description: Description, pattern: str) -> Iterator[str]:
    for alias, name in description.aliases.items():
        if matches_any((pattern,), name):
            yield alias
    for source in description.sources:
        if source.bank_names is not None:
            inside = source.bank_names.named.match(pattern)
            if inside is not None:
                yield inside["name"]


def _writing_lines(description: Description) -> Iterator[Template]:
    for name, verb in description.verbs.items():
        if name.startswith(WRITING):
            yield from (step.line for step in verb.steps if not step.key)


def _named(description: Description, line: Template, pattern: str) -> Iterator[str]:
    """The line about names of a pattern, as far as it says which."""
    for way in _ways(description, pattern):
        if set(line.fields) & way.keys():
            text = in_characters(line)
            yield "".join(
                c if shape_of(c) is None else way.get(line.fields[place_of(c)], ANY)
                for c in text
            )


def _ways(description: Description, pattern: str) -> tuple[Mapping[str, str], ...]:
    """How the parts of a name may stand in a line that writes it, each way once."""
    ways: list[Mapping[str, str]] = [{"name": pattern, "own": pattern}]
    for source in description.sources:
        for form in source.forms:
            match form:
                case Pair(name=Template() as named):
                    parts = named.match(pattern)
                    if parts is not None:
                        own = parts.get("name", pattern)
                        ways.append({**parts, "name": pattern, "own": own})
                case Row(name=Template() as named) | Columns(name=Template() as named):
                    parts = named.match(pattern)
                    if parts is not None:
                        key = parts.get("key", pattern)
                        ways.append({**parts, "key": key, "letter": key, "own": key})
                case Row(join=join) | Columns(join=join):
                    thing, _, key = pattern.rpartition(join)
                    place = {"thing": thing} if thing else {}
                    ways.append({**place, "key": key, "letter": key, "own": key})
                case _:
                    pass
    return tuple({tuple(sorted(way.items())): way for way in ways}.values())


def _addressed(making: Making) -> Iterator[Addressed]:
    """Commands with the fields of a setting in them."""
    for name, verb, does in making.verbs():
        writes = name.startswith(WRITING)
        if does and not writes:
            continue
        for step in verb.steps:
            if not step.key:
                for command in making.commands(step.line):
                    entry = _cut_at_fields(command, step.line.fields, writes=writes)
                    if entry is not None:
                        yield entry


def _cut_at_fields(
    command: str, fields: tuple[str, ...], *, writes: bool
) -> Addressed | None:
    sides: list[list[str]] = [[""]]
    spelled = ""
    for char in command:
        field = "" if shape_of(char) is None else fields[place_of(char)]
        if not field:
            sides[-1][-1] += char
        elif field not in SPELLED:
            sides[-1] += [field, ""]
        elif spelled:
            return None
        else:
            spelled = field
            sides.append([""])
    if all(len(side) == 1 for side in sides):
        # It says of no setting which one it is about.
        return None
    after = tuple(sides[1]) if spelled else ("",)
    return Addressed(tuple(sides[0]), after, spelled, writes)


def _keys(
    making: Making, tagged: Mapping[Hazard, re.Pattern[str]]
) -> Iterator[tuple[bytes, str, Hazards]]:
    """Keys that answer a question, and what the verb does that asked it."""
    for _, verb, does in making.verbs():
        asked, told = "", does
        for step in verb.steps:
            if step.key:
                yield step.line.source.encode(), asked, told
                continue
            asked = step.line.source
            told |= frozenset(
                hazard
                for command in making.commands(step.line)
                for hazard, form in tagged.items()
                if form.fullmatch(command)
            )


def _free_keys(description: Description) -> Iterator[bytes]:
    manner = description.manner
    cues = (*manner.cues, *((manner.pager,) if manner.pager else ()))
    for cue in cues:
        # A key that is a line end might as well repeat the last line.
        if cue.key.decode("latin-1").isprintable() and cue.key:
            yield cue.key

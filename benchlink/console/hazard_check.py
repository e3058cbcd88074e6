"""What is wrong with the hazards of a description that loads all the same."""

from collections.abc import Iterator
from typing import Final

from benchlink.console.description import Description
from benchlink.console.hazard_making import Making
from benchlink.console.hazard_rules import HazardRules, LineKind
from benchlink.console.statements import BODY, Cutter
from benchlink.console.template import Template
from benchlink.core.hazard import hazard_words
from benchlink.errors import Place, Problem

NOWHERE: Final = Place("", 0)


def hazard_problems(description: Description) -> tuple[Problem, ...]:
    """Verbs that nobody tagged, rows that can never match, and marks left open."""
    rules = description.hazards
    if rules is None:
        return ()
    making = Making(description, rules, Cutter(rules, description.spelling.base))
    return (
        *_untold(making),
        *_never_matching(making, rules),
        *_open_marks(description, rules),
    )


def _untold(making: Making) -> Iterator[Problem]:
    for verb, lacks in making.untold():
        line = verb.steps[0].line
        yield Problem(
            line.place or making.rules.place,
            f"{line.source!r} {hazard_words(lacks)}, but no row of `hazards: held:`"
            " says so",
        )


def _never_matching(making: Making, rules: HazardRules) -> Iterator[Problem]:
    seen: set[tuple[object, str]] = set()
    harmless = {command for line in rules.harmless for command in making.commands(line)}
    for row in rules.held:
        for line in row.lines:
            place = line.place or NOWHERE
            commands = making.commands(line)
            why = _why_never(making, line, commands)
            if why:
                yield Problem(place, f"the row {line.source!r} can never match: {why}")
                continue
            if (row.what, commands[0]) in seen:
                yield Problem(place, f"the row {line.source!r} stands there twice")
            seen.add((row.what, commands[0]))
            if commands[0] in harmless:
                yield Problem(place, f"the row {line.source!r} is harmless elsewhere")


def _why_never(making: Making, line: Template, commands: tuple[str, ...]) -> str:
    rules = making.rules
    longest = making.description.manner.longest_line
    reasons = {
        "a line holds plain characters only": (
            not making.description.manner.charset.has(line.source)
        ),
        f"a line of this console has at most {longest} characters": (
            len(line.source) > longest
        ),
        f"a command line begins with {BODY}": (
            rules.kind is LineKind.COMMAND_LINE
            and not line.source.strip().upper().startswith(BODY)
        ),
        "nothing of it is a command to this console": not commands,
        "it is several commands to this console; write a row for each": (
            len(commands) > 1
        ),
    }
    return next((why for why, holds in reasons.items() if holds), "")


def _open_marks(description: Description, rules: HazardRules) -> Iterator[Problem]:
    """Marks that a name or a value could hold: they would begin another command."""
    base = description.spelling.base
    closed = base.reserved + base.reserved_outside
    marks = {
        "separator": (set(rules.separator) and not set(rules.separator) & set(closed)),
        "comment": (set(rules.comment) and not set(rules.comment) & set(closed)),
        "expands": not set(rules.expands) <= set(base.reserved),
    }
    texts = {
        "separator": rules.separator,
        "comment": rules.comment,
        "expands": rules.expands,
    }
    for key, text in texts.items():
        if marks[key]:
            yield Problem(
                rules.place,
                f"`{key}: {text}` means something to this console, so it belongs in"
                " `reserved:` under `values:` as well",
            )
